/** The right spelling that a wrong one most likely meant. */

/** @returns the word with the fewest slips (letters put in, left out, changed or swapped); undefined when none is near */
export function nearestWord(wrong: string, words: readonly string[]): string | undefined {
  const plain = normal(wrong);
  let best: string | undefined;
  let least = Math.max(1, Math.floor(plain.length / 3)) + 0.5;
  for (const word of words) {
    const slips = countSlips(plain, normal(word));
    if (slips < least) {
      least = slips;
      best = word;
    }
  }
  return best;
}

/** Case, blanks and underscores are no slips: `standOff`, `stand_off` and `stand-off` are one word. */
function normal(word: string): string {
  return word.slice(0, 60).toLowerCase().replace(/[-_ ]/g, "");
}

/** Optimal string alignment: edits with swaps of neighbours. */
function countSlips(a: string, b: string): number {
  const width = b.length + 1;
  const cost = new Uint16Array((a.length + 1) * width);
  for (let i = 0; i <= a.length; i++) cost[i * width] = i;
  for (let j = 0; j <= b.length; j++) cost[j] = j;
  const at = (i: number, j: number): number => cost[i * width + j] as number;
  for (let i = 1; i <= a.length; i++) {
    for (let j = 1; j <= b.length; j++) {
      let slips = Math.min(at(i - 1, j) + 1, at(i, j - 1) + 1, at(i - 1, j - 1) + (a[i - 1] === b[j - 1] ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) slips = Math.min(slips, at(i - 2, j - 2) + 1);
      cost[i * width + j] = slips;
    }
  }
  return at(a.length, b.length);
}
