/** docs/accuracy.md holds what `bench/accuracy.ts` printed: every row is in it, as it asks today, and was reached. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { rows } from "../published/rows.ts";

const document = readFileSync(new URL("../../docs/accuracy.md", import.meta.url), "utf8");
const cells = document
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
