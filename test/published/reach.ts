/** Asserts what a row of rows.ts asks, and writes down what was reached where `bench/accuracy.ts` gathers it into docs/accuracy.md. */
import { appendFileSync } from "node:fs";
import { expect } from "vitest";
import { rows } from "./rows.ts";

/** @param error of any sign, in the row's unit */
export function reach(row: keyof typeof rows, error: number): void {
  const size = Math.abs(error);
  const file = process.env["WITHY_ACCURACY"];
  if (file !== undefined) appendFileSync(file, `${JSON.stringify({ row, error: Number.isFinite(size) ? size : "none" })}\n`);
  expect([rows[row].check, size, size < rows[row].asked]).toEqual([rows[row].check, size, true]);
}
