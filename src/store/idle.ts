/** What keeps a lock from falling shut: call `touch` at every sign of the examiner. */
export interface IdleWatch {
  touch(): void;
  stop(): void;
}

/**
 * Locks after a time without a sign of the examiner. A device that slept through the time locks at
 * the next sign, before that sign counts.
 *
 * @param now a clock in ms that is never set back, e.g. `() => performance.now()`
 */
export function lockWhenIdle(
  idleMs: number,
  lock: () => void,
  now: () => number = () => performance.now(),
): IdleWatch {
  let last = now();
  let timer: ReturnType<typeof setTimeout> | undefined;
  const arm = () => {
    clearTimeout(timer);
    timer = setTimeout(lock, idleMs);
  };
  arm();
  return {
    touch() {
      const at = now();
      if (at - last >= idleMs) lock();
      last = at;
      arm();
    },
    stop() {
      clearTimeout(timer);
    },
  };
}
