import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { createSmallClone, type Finished, type SmallClone } from "./small-clone.ts";

/** Stands for the runner: what a tier reports is read from results/<tier>.json, or it ends as results/<tier>.exit says. */
const runner = `
import { existsSync, readFileSync, writeFileSync } from "node:fs";
const words = process.argv.slice(2);
const tier = words[words.indexOf("--project") + 1];
const out = words.find((word) => word.startsWith("--outputFile.json=")).split("=")[1];
const file = "results/" + tier + ".json";
if (existsSync(file)) writeFileSync(out, readFileSync(file));
process.exit(existsSync("results/" + tier + ".exit") ? Number(readFileSync("results/" + tier + ".exit", "utf8")) : 0);
`;

let clone: SmallClone;
beforeEach(() => {
  clone = createSmallClone();
  clone.put("node_modules/vitest/vitest.mjs", runner);
  clone.put("node_modules/@biomejs/biome/bin/biome", "");
  clone.put("scripts/check-types.js", "");
  clone.tool("chromium");
  for (const tier of ["architecture", "unit", "published", "examples", "browser", "scripts"]) report(tier, { passed: 2 });
});
afterEach(() => clone.end());

interface Report {
  readonly passed: number;
  readonly failed?: number;
  readonly left?: number;
  readonly suites?: readonly object[];
}

function report(tier: string, { passed, failed = 0, left = 0, suites = [] }: Report): void {
  const text = { numPassedTests: passed, numFailedTests: failed, numPendingTests: left, numTodoTests: 0, testResults: suites };
  clone.put(`results/${tier}.json`, JSON.stringify(text));
  clone.put(`results/${tier}.exit`, failed > 0 ? "1" : "0");
}

const lastLine = ({ out }: Finished): string => out.trimEnd().split("\n").at(-1) ?? "";
const run = (...args: string[]): Promise<Finished> => clone.run(["scripts/test.js", ...args]);

describe("the test run", () => {
  it("adds up the tiers, with one for lint and one for types, alone on the last line", async () => {
    const done = await run();
    expect(lastLine(done)).toBe("14 passed, 0 failed");
    expect(done.status).toBe(0);
    expect(done.out).toMatch(/== unit \(budget \d+ s\) ==/);
    expect(done.out).toMatch(/unit\s+2 passed\s+0 failed\s+[\d.]+ s of \d+ s/);
  });

  it("fails with a failed test, and runs the tiers after it", async () => {
    report("unit", { passed: 5, failed: 3 });
    const done = await run();
    expect(lastLine(done)).toBe("17 passed, 3 failed");
    expect(done.status).toBe(1);
  });

  it("counts a file that could not be loaded", async () => {
    report("unit", { passed: 5, suites: [{ status: "failed", assertionResults: [] }] });
    expect(lastLine(await run())).toBe("17 passed, 1 failed");
  });

  it("counts a runner that ended badly though every test passed", async () => {
    clone.put("results/unit.exit", "1");
    expect(lastLine(await run())).toBe("14 passed, 1 failed");
  });

  it("counts a tier that wrote nothing", async () => {
    clone.remove("results/published.json");
    expect(lastLine(await run())).toBe("12 passed, 1 failed");
  });

  it("counts a result left from an earlier run as none", async () => {
    await run();
    clone.remove("results/published.json");
    expect(lastLine(await run())).toBe("12 passed, 1 failed");
  });

  it("counts lint and types", async () => {
    clone.put("node_modules/@biomejs/biome/bin/biome", "process.exit(1)");
    clone.put("scripts/check-types.js", "process.exit(2)");
    const done = await run();
    expect(lastLine(done)).toBe("12 passed, 2 failed");
    expect(done.status).toBe(1);
  });

  it("fails in words without a browser, and never leaves the tier out in silence", async () => {
    clone.remove(".tools/chromium");
    const done = await run();
    expect(lastLine(done)).toBe("12 passed, 1 failed");
    expect(done.status).toBe(1);
    expect(done.err).toContain("No Chromium was found");
    expect(done.out).toContain("no browser");
  });

  it("says how many tests were left out", async () => {
    report("unit", { passed: 5, left: 4 });
    expect((await run()).out).toContain("4 left out");
  });

  it("runs chosen tiers, and knows no others", async () => {
    expect(lastLine(await run("types", "published"))).toBe("3 passed, 0 failed");
    const wrong = await run("publishd");
    expect(wrong.status).toBe(1);
    expect(wrong.err).toContain("No tier is called publishd");
  });
});

describe("the launcher", () => {
  it("says what to run when nothing is built", async () => {
    const done = await clone.run(["bin/withy.js", "plan", "job.yaml"]);
    expect(done.status).toBe(70);
    expect(done.err).toContain("npm run build");
    expect(done.out).toBe("");
  });

  it("starts the built command line", async () => {
    clone.put("dist/apps/cli/main.js", "console.log(process.argv.slice(2).join()); process.exitCode = 3;");
    const done = await clone.run(["bin/withy.js", "plan", "job.yaml"]);
    expect(done).toMatchObject({ status: 3, out: "plan,job.yaml\n" });
  });
});
