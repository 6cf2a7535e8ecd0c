// Runs every tier of tests, one after another, and ends with `N passed, N failed` alone on the last line.
//
//   node scripts/test.js [--soak] [tier ...]
//
// Each tier states its budget; one that takes four times its budget is ended and counts as failed. --soak raises the counts of
// the random tests (WITHY_SOAK=1) and lifts the budgets by ten.
import { spawn } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { findBrowser, setting } from "./find-browser.js";

/** @typedef {{ passed: number, failed: number, note?: string }} Count */
/** @typedef {{ name: string, budget: number, run: (limit: number) => Promise<Count> }} Tier budget in seconds */

const root = fileURLToPath(new URL("..", import.meta.url));
const results = join(root, ".stamps", "results");
const soak = process.argv.includes("--soak");
const browser = findBrowser();

/** @type {Tier[]} */
const tiers = [
  {
    name: "lint",
    budget: 10,
    run: (limit) => command(["node_modules/@biomejs/biome/bin/biome", "check", "--error-on-warnings", "."], limit),
  },
  { name: "types", budget: 20, run: (limit) => command(["scripts/check-types.js"], limit) },
  { name: "architecture", budget: 20, run: (limit) => project("architecture", limit) },
  { name: "unit", budget: 300, run: (limit) => project("unit", limit) },
  { name: "published", budget: 90, run: (limit) => project("published", limit) },
  { name: "examples", budget: 120, run: (limit) => project("examples", limit) },
  { name: "browser", budget: 240, run: inBrowser },
  { name: "scripts", budget: 150, run: (limit) => project("scripts", limit) },
];

const asked = process.argv.slice(2).filter((word) => !word.startsWith("--"));
const unknown = asked.filter((name) => !tiers.some((tier) => tier.name === name));
if (unknown.length > 0) {
  console.error(`No tier is called ${unknown.join(", ")}. There are: ${tiers.map((tier) => tier.name).join(", ")}.`);
  process.exit(1);
}
process.exitCode = (await runAll(tiers.filter((tier) => asked.length === 0 || asked.includes(tier.name)))) ? 0 : 1;

/** @param {Tier[]} chosen @returns {Promise<boolean>} whether all passed */
async function runAll(chosen) {
  mkdirSync(results, { recursive: true });
  const lines = [];
  let passed = 0;
  let failed = 0;
  for (const tier of chosen) {
    const budget = tier.budget * (soak ? 10 : 1);
    console.log(`\n== ${tier.name} (budget ${budget} s) ==`);
    const start = performance.now();
    const count = await tier.run(4 * budget);
    const seconds = (performance.now() - start) / 1000;
    const over = seconds > budget ? ", over budget" : "";
    const note = count.note === undefined ? "" : `, ${count.note}`;
    lines.push(
      `${tier.name.padEnd(13)} ${String(count.passed).padStart(5)} passed ${String(count.failed).padStart(4)} failed ` +
        `${seconds.toFixed(1).padStart(7)} s of ${budget} s${over}${note}`,
    );
    console.log(lines.at(-1));
    passed += count.passed;
    failed += count.failed;
  }
  console.log(`\n${lines.join("\n")}\n${passed} passed, ${failed} failed`);
  return failed === 0;
}

/** One command that passes or fails as a whole. @param {string[]} args @param {number} limit s @returns {Promise<Count>} */
async function command(args, limit) {
  const status = await node(args, limit);
  return status === 0
    ? { passed: 1, failed: 0 }
    : { passed: 0, failed: 1, ...(status === "late" ? { note: "ended: far over budget" } : {}) };
}

/** One project of vitest.config.ts. @param {string} name @param {number} limit s @param {NodeJS.ProcessEnv} env @returns {Promise<Count>} */
async function project(name, limit, env = {}) {
  const file = join(results, `${name}.json`);
  rmSync(file, { force: true });
  const reporters = ["--reporter=default", "--reporter=json", `--outputFile.json=${file}`];
  const status = await node(["node_modules/vitest/vitest.mjs", "run", "--project", name, ...reporters], limit, env);
  return countResults(status, existsSync(file) ? JSON.parse(readFileSync(file, "utf8")) : undefined);
}

/**
 * A file that could not even be loaded, no test at all, or a crash of the runner are failures too; a test that was left out is said.
 *
 * @param {number | null | "late"} status
 * @param {{ numPassedTests: number, numFailedTests: number, numPendingTests: number, numTodoTests: number,
 *   testResults: { status: string, assertionResults: { status: string }[] }[] } | undefined} report
 * @returns {Count}
 */
function countResults(status, report) {
  if (report === undefined) return { passed: 0, failed: 1, note: status === "late" ? "ended: far over budget" : "no result was written" };
  const broken = report.testResults.filter((suite) => {
    return suite.status === "failed" && !suite.assertionResults.some((result) => result.status === "failed");
  });
  const leftOut = report.numPendingTests + report.numTodoTests;
  let failed = report.numFailedTests + broken.length;
  if (failed === 0 && status !== 0) failed = 1;
  return { passed: report.numPassedTests, failed, ...(leftOut > 0 ? { note: `${leftOut} left out` } : {}) };
}

/** @param {number} limit s @returns {Promise<Count>} */
async function inBrowser(limit) {
  if (browser.path !== undefined) return project("browser", limit, { [setting]: browser.path });
  console.error(browser.problem);
  return { passed: 0, failed: 1, note: "no browser" };
}

/** @param {string[]} args @param {number} limit s @param {NodeJS.ProcessEnv} env @returns {Promise<number | null | "late">} */
function node(args, limit, env = {}) {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, args, {
      cwd: root,
      stdio: ["ignore", "inherit", "inherit"],
      env: { ...process.env, ...env, ...(soak ? { WITHY_SOAK: "1" } : {}) },
    });
    let late = false;
    const timer = setTimeout(() => {
      late = true;
      child.kill("SIGKILL");
    }, 1000 * limit);
    child.on("close", (status) => {
      clearTimeout(timer);
      resolve(late ? "late" : status);
    });
  });
}
