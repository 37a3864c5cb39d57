/**
 * Tells whoever watches the page's own timing (`PerformanceObserver`) that this happened now. The page keeps nothing of
 * it, since a day at the couch has thousands.
 */
export function mark(name: string, detail?: unknown): void {
  performance.mark(`plessor:${name}`, { detail });
  performance.clearMarks(`plessor:${name}`);
}
