import { PortError } from '../ports.ts';

/** A promise that settles in time: as the one given, or with `timed-out`, told in the line. */
export function within<T>(ms: number, promise: Promise<T>, line: string): Promise<T> {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new PortError('timed-out', line)), ms);
    promise.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}
