/** What follows `--name` on the command line of a benchmark. */
export const option = (args: readonly string[], name: string): string | undefined =>
  args.includes(name) ? args[args.indexOf(name) + 1] : undefined;
