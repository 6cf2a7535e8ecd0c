/**
 * Runs every check against a number from outside and prints what each reached, then how random arms were answered, as docs/accuracy.md has it.
 *
 *   npx tsx bench/accuracy.ts [--write]
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { type Row, rows } from "../test/published/rows.ts";
import { tellRandomArms } from "./random-arms.ts";

const root = fileURLToPath(new URL("..", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "accuracy-"));
const file = join(folder, "reached.jsonl");
writeFileSync(file, "");
const tests = readdirSync(join(root, "test"), { recursive: true, encoding: "utf8" })
  .filter((path) => path.endsWith(".test.ts"))
  .map((path) => join("test", path))
  .filter((path) => /from ".*\/reach\.ts"/.test(readFileSync(join(root, path), "utf8")));
const run = spawnSync(process.execPath, ["node_modules/vitest/vitest.mjs", "run", "--reporter=dot", ...tests], {
  cwd: root,
  stdio: ["ignore", "ignore", "inherit"],
  env: { ...process.env, WITHY_ACCURACY: file },
});
const reached = new Map<string, number[]>();
for (const line of readFileSync(file, "utf8").split("\n")) {
  if (line === "") continue;
  const { row, error } = JSON.parse(line) as { row: string; error: number | "none" };
  reached.set(row, [...(reached.get(row) ?? []), error === "none" ? Number.NaN : error]);
}
rmSync(folder, { recursive: true });

const digits = (value: number): string => (value === 0 ? "0" : value.toExponential(1).replace("e+0", ""));
const unit = (row: Row): string => (row.unit === "1" ? "" : ` ${row.unit}`);
const groups = [...new Set(Object.values(rows).map((row) => row.group))];
const lines = [
  "# Accuracy",
  "",
  "What each check against a number from outside asks, and what was reached: the worst of its cases, as a share of the value unless a unit is",
  "given. Printed by `npx tsx bench/accuracy.ts`, which runs the tests that hold these checks; the last digit may differ from machine to machine.",
  "Where the numbers are from in full: sources.md.",
];
for (const group of groups) {
  lines.push("", `## ${group}`, "", "| check | source | cases | asked | reached |", "|---|---|---|---|---|");
  for (const [name, row] of Object.entries<Row>(rows)) {
    if (row.group !== group) continue;
    const errors = reached.get(name) ?? [];
    const worst = errors.length === 0 ? "not run" : errors.some(Number.isNaN) ? "no answer" : `${digits(Math.max(...errors))}${unit(row)}`;
    lines.push(`| ${row.check} | ${row.source} | ${errors.length} | ${digits(row.asked)}${unit(row)} | ${worst} |`);
  }
}
const cases = 200;
lines.push(
  "",
  "## Random arms",
  "",
  `${cases} arms, loads and stances of each kind (seeds from 0), as \`npx tsx bench/random-arms.ts\` prints them for any number: what is left over is the`,
  "largest unbalanced moment of any joint, computed apart from the solver. What has no answer is said to have none, after a bounded number of steps.",
  "",
  "| arms | solved | asked | stable | slack | buckled | no answer | most left over | most steps |",
  "|---|---|---|---|---|---|---|---|---|",
  ...tellRandomArms(cases, 0).map((row) => `| ${row.join(" | ")} |`),
);
const text = `${lines.join("\n")}\n`;
console.log(text);
if (process.argv.includes("--write")) writeFileSync(join(root, "docs", "accuracy.md"), text);
if (run.status !== 0) console.error("Some tests failed.");
process.exitCode = run.status ?? 1;
