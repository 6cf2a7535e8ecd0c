/** The next of 1, 2, 5, 10 ... at or above a number. */
export function niceStep(least: number): number {
  const size = 10 ** Math.floor(Math.log10(least));
  for (const lead of [1, 2, 5]) if (lead * size >= least) return lead * size;
  return 10 * size;
}
