/** A fit in words, and as the arm file keeps it. */
import type { Fitted, FittedName } from "../arm/index.ts";
import type { FitResult, FittedParameter } from "./read-fit.ts";
import { close } from "./tell-apart.ts";

/** @param tables in the order they were fitted; `date` as 2026-03-01 */
export function recordFit(result: FitResult, tables: Fitted["tables"], date: string): Fitted {
  const told = result.parameters.filter((p) => p.state === "fitted");
  const spreads: Partial<Record<FittedName, number>> = {};
  for (const p of told) spreads[p.name] = isFactor(p) ? p.spread / p.after : p.spread;
  const correlations = told.flatMap((one, a) =>
    told.slice(a + 1).map((two, b) => ({
      between: [one.name, two.name] as const,
      is: Number(((result.correlation[a] as readonly number[])[a + 1 + b] as number).toFixed(3)),
    })),
  );
  return { date, tables, spreads, correlations, notes: sayNotes(result) };
}

function isFactor({ name }: Pick<FittedParameter, "name">): boolean {
  return name === "stiffness" || name === "stretch";
}

/** What a reader of the fitted values must know; one sentence each. */
export function sayNotes(result: FitResult): string[] {
  const title = (name: string): string => result.parameters.find((p) => p.name === name)?.title ?? name;
  const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
  const told = result.parameters.filter((p) => p.state === "fitted");
  const notes = result.parameters.flatMap((p) => [...sayKept(p, title, told), ...sayBound(p)]).map(capital);
  for (const p of told)
    if (p.mostlyFrom !== undefined)
      notes.push(`Most of the spread of ${p.title} is the range of ${title(p.mostlyFrom)} that the arm file gives.`);
  for (const p of told) if (isUnlikely(p)) notes.push(sayUnlikely(p, capital));
  const used = result.readings.filter((r) => !Number.isNaN(r.weight)).length;
  if (told.length > 0 && used < 3 * told.length)
    notes.push(`${used} readings for ${told.length} values: the spreads are rough; three readings a value are the least, ten better.`);
  told.forEach((one, a) => {
    told.slice(a + 1).forEach((two, b) => {
      const r = (result.correlation[a] as readonly number[])[a + 1 + b] as number;
      if (Math.abs(r) < close) return;
      notes.push(
        `${capital(one.title)} and ${two.title} hang together (correlation ${r.toFixed(2)}): the tables tell them together better than one by one.`,
      );
    });
  });
  const outliers = result.readings.filter((r) => r.outlier).length;
  if (outliers > 0)
    notes.push(
      `${outliers} reading${outliers === 1 ? " lies" : "s lie"} more than 4 spreads off; ${outliers === 1 ? "it counts" : "they count"} little.`,
    );
  const lost = result.readings.filter((r) => Number.isNaN(r.weight)).length;
  if (lost > 0) notes.push(`${lost} reading${lost === 1 ? " was" : "s were"} left out: the model found no balance there that stays.`);
  return notes;
}

function sayKept({ title, untold }: FittedParameter, titleOf: (name: string) => string, told: readonly FittedParameter[]): string[] {
  if (untold === undefined) return [];
  if (untold.why === "one-way") return [`${title} stays as described: only a table that draws cables in and lets them out again tells it.`];
  if (untold.why === "unseen" || untold.with === undefined) return [`${title} is not told by these tables; it stays as described.`];
  const r = untold.correlation === undefined ? "" : ` (correlation ${untold.correlation.toFixed(3)})`;
  const goes = told.some((p) => p.name === untold.with) ? `, and the ${titleOf(untold.with)} found goes with that` : "";
  return [`${title} cannot be told from ${titleOf(untold.with)} by these tables${r}; it stays as described${goes}.`];
}

/** Beyond what arms of this kind are built and worn to (common practice, no source): something else is likelier to be wrong. */
const likely: Readonly<Record<FittedName, readonly [number, number]>> = {
  stiffness: [0.6, 1.6],
  stretch: [0.4, 4],
  "effective-length": [-2e-3, 4e-3],
  "hole-friction": [0, 0.5],
  "conduit-friction": [0, 0.5],
  play: [0, 0.05],
};

function isUnlikely({ name, after, shown }: FittedParameter): boolean {
  const [low, high] = likely[name];
  const value = name === "effective-length" || isFactor({ name }) ? after : shown.after;
  return value < low || value > high;
}

function sayUnlikely(p: FittedParameter, capital: (text: string) => string): string {
  return `${capital(p.title)} came out far from what such arms have: look for another cause (masses, units, what held the arm) before this is used.`;
}

function sayBound({ title, state }: FittedParameter): string[] {
  return state === "bound" ? [`${title} came to the end of what is possible: the tables want it beyond.`] : [];
}
