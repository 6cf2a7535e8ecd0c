/**
 * Two contenders timed against each other: alternating in one process, the order turned round every time, after a warm-up, with a check
 * that both give the same answer. For contenders that share functions, start a process each and compare their printed medians.
 */

export interface Contender<T> {
  readonly name: string;
  /** does the work once and gives its answer */
  run(): T;
}

export interface Spread {
  readonly median: number;
  readonly least: number;
  readonly greatest: number;
  /** half of the values lie between these */
  readonly lowQuarter: number;
  readonly highQuarter: number;
}

export interface Comparison {
  /** ms a run */
  readonly first: Spread;
  readonly second: Spread;
  /** of the rounds: time of the second over time of the first; above 1 the first is faster */
  readonly ratio: Spread;
  /** difference of the answers of the last round, as `apart` measures it */
  readonly apart: number;
}

export interface Measuring<T> {
  /** how far two answers lie apart; NaN counts as different */
  apart(first: T, second: T): number;
  /** answers may lie this far apart */
  readonly within: number;
  readonly rounds?: number;
  readonly warmUps?: number;
  /** ms; the machine's clock when absent */
  readonly now?: () => number;
}

/** @throws Error when the answers differ: a comparison of different work says nothing */
export function measure<T>(
  first: Contender<T>,
  second: Contender<T>,
  { apart, within, rounds = 15, warmUps = 3, now = () => performance.now() }: Measuring<T>,
): Comparison {
  const times: [number[], number[]] = [[], []];
  let gap = Number.NaN;
  for (let k = -warmUps; k < rounds; k++) {
    const answers: [T | undefined, T | undefined] = [undefined, undefined];
    const order = k % 2 === 0 ? ([0, 1] as const) : ([1, 0] as const);
    for (const which of order) {
      const start = now();
      answers[which] = (which === 0 ? first : second).run();
      if (k >= 0) times[which].push(now() - start);
    }
    gap = apart(answers[0] as T, answers[1] as T);
    if (!(gap <= within)) throw new Error(`${first.name} and ${second.name} answer differently: ${gap} apart, at most ${within} allowed`);
  }
  const ratios = times[0].map((time, k) => times[1][k]! / time);
  return { first: spreadOf(times[0]), second: spreadOf(times[1]), ratio: spreadOf(ratios), apart: gap };
}

export function spreadOf(values: readonly number[]): Spread {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (share: number): number => {
    const place = share * (sorted.length - 1);
    const low = Math.floor(place);
    return sorted[low]! + (place - low) * ((sorted[low + 1] ?? sorted[low]!) - sorted[low]!);
  };
  return { median: at(0.5), least: at(0), greatest: at(1), lowQuarter: at(0.25), highQuarter: at(0.75) };
}

/** Plain lines for a terminal. */
export function sayComparison(what: string, first: string, second: string, { first: a, second: b, ratio, apart }: Comparison): string {
  const time = (name: string, s: Spread): string => `  ${name}: ${short(s.median)} ms (${short(s.least)} to ${short(s.greatest)})`;
  return [
    what,
    time(first, a),
    time(second, b),
    `  ${second} / ${first}: ${short(ratio.median)} (${short(ratio.lowQuarter)} to ${short(ratio.highQuarter)} in half of the rounds); answers ${apart} apart`,
    "",
  ].join("\n");
}

function short(value: number): string {
  return String(Number(value.toPrecision(3)));
}
