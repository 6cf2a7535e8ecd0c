/** docs/accuracy.md holds what `bench/accuracy.ts` printed: every row is in it, as it asks today, and was reached. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { kinds } from "../../bench/random-arms.ts";
import { rows } from "../published/rows.ts";

const document = readFileSync(new URL("../../docs/accuracy.md", import.meta.url), "utf8");
const [checks, random] = document.split("## Random arms") as [string, string];
const cells = checks
  .split("\n")
  .filter((line) => line.startsWith("| ") && !line.startsWith("| check "))
  .map((line) => line.slice(2, -2).split(" | "));

test("one line a row, in their order", () => {
  expect(cells.map(([check, source]) => [check, source])).toEqual(Object.values(rows).map(({ check, source }) => [check, source]));
});

test.each(Object.values(rows).map((row, k) => [row.check, row.asked, cells[k]] as const))("%s: asked and reached", (_, asked, cell) => {
  const [, , cases, printed, reached] = cell as string[];
  expect(Number.parseInt(cases as string, 10)).toBeGreaterThan(0);
  // two digits are printed
  expect(Math.abs(Number.parseFloat(printed as string) / asked - 1)).toBeLessThan(0.05);
  expect(Number.parseFloat(reached as string)).toBeLessThan(asked);
});

test("random arms: every kind and closure, what is left over small", () => {
  const lines = random.split("\n").filter((line) => line.startsWith("| ") && !line.startsWith("| arms "));
  expect(lines.length).toBe(5 * kinds.length);
  for (const line of lines) {
    const [, , asked, stable, slack, buckled, none, left] = line.slice(2, -2).split(" | ") as string[];
    expect([stable, slack, buckled, none].reduce((sum, n) => sum + Number(n), 0)).toBe(Number(asked));
    expect(Number(none)).toBeLessThanOrEqual(0.2 * Number(asked));
    expect(Number.parseFloat(left as string)).toBeLessThan(1e-5);
  }
});
