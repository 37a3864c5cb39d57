import { PortError } from '../ports.ts';

/** A promise that settles in time: as the one given, or with `timed-out`. */
export function within<T>(ms: number, promise: Promise<T>, what: string): Promise<T> {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(
      () =>
        reject(
          new PortError(
            'timed-out',
            `${what}; the exam goes on in memory. Reload when it is over, or export it.`,
          ),
        ),
      ms,
    );
    promise.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}
