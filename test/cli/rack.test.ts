import { cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { readPlanJson, readRackJson } from "../../src/report/index.ts";
import { type Called, call, root } from "./call.ts";

const folder = mkdtempSync(join(tmpdir(), "withy-rack-"));
const job = join(folder, "duct");
const arms = join(folder, "arms");
const out = join(folder, "out");
let ran: Called;

beforeAll(async () => {
  cpSync(join(root, "test/browser/duct"), job, { recursive: true });
  const text = readFileSync(join(job, "arm.yaml"), "utf8");
  mkdirSync(join(arms, "twin"), { recursive: true });
  writeFileSync(join(arms, "twin", "arm.yaml"), text);
  writeFileSync(join(arms, "short.yaml"), text.replace("spans: 7", "spans: 2").replace("twin three", "short"));
  writeFileSync(join(arms, "slip.yaml"), text.replace("16 mm", "16 m").replace("spans: 7", "spans: 0"));
  writeFileSync(join(arms, "notes.txt"), "not an arm");
  ran = await call(["rack", job, arms, "--out", out, "--json"]);
});
afterAll(() => rmSync(folder, { recursive: true }));

describe("withy rack", () => {
  it("plans every arm it can read, names the others with their faults, and ends with the code of the best", () => {
    expect(ran.code).toBe(0);
    const told = JSON.parse(ran.out);
    const lines = told.arms.map((one: { file: string; kind: string; answer?: string }) => [one.file, one.kind, one.answer]);
    expect(lines).toEqual([
      ["twin/arm.yaml", "planned", "go with conditions"],
      ["short.yaml", "planned", expect.stringMatching(/no go|undecided/)],
      ["slip.yaml", "faulty", undefined],
    ]);
    expect(told.arms[2].faults.map(({ line }: { line: number }) => line)).toEqual([expect.any(Number)]);
    expect(told.arms[1].reasons.length).toBeGreaterThan(0);
  });

  it("leaves rack.json and each plan, whole, and nothing unfinished", () => {
    expect(readdirSync(out).sort()).toEqual(["plans", "rack.json"]);
    expect(readdirSync(join(out, "plans")).sort()).toEqual(["short.json", "twin-arm.json"]);
    const rack = readRackJson(readFileSync(join(out, "rack.json"), "utf8"));
    expect(rack.arms.map(({ entry }) => entry.file)).toEqual(["twin/arm.yaml", "short.yaml", "slip.yaml"]);
    const plan = readPlanJson(readFileSync(join(out, "plans", "twin-arm.json"), "utf8"));
    expect(plan.verdict.answer).toBe(JSON.parse(ran.out).arms[0].answer);
    const [best] = rack.arms;
    expect(best?.entry.kind === "planned" && best.entry.shape?.frames).toEqual(plan.wayIn.at(-1)?.frames);
  });

  it("says it in a table, with why not", async () => {
    const { code, out: said } = await call(["rack", join(job, "job.yaml"), arms, "--out", out, "--resume"]);
    expect(code).toBe(0);
    expect(said).toMatch(/^1 of 3 arms can: Marl Quay, short duct/);
    expect(said).toMatch(/twin\/arm\.yaml +twin three +9 in 3 +go with conditions +\d+ % +\w+/);
    expect(said).toMatch(/Why not\n {2}short\.yaml\n {4}- /);
    expect(said).toMatch(/slip\.yaml +cannot be read or fitted/);
    expect(said).toMatch(/slip\.yaml:\d+:\d+ /);
  });

  it("leaves what is done when it is cancelled, and goes on from there to the same file", { timeout: 240_000 }, async () => {
    const part = join(folder, "part");
    const stop = new AbortController();
    // as soon as one arm is at its end
    const watch = setInterval(() => existsSync(join(part, "rack.json")) && stop.abort(), 5);
    const first = await call(["rack", job, arms, "--out", part, "--cores", "1"], stop.signal);
    clearInterval(watch);
    expect(first.code).toBe(130);
    expect(first.out).toContain("not planned yet");
    const kinds = readRackJson(readFileSync(join(part, "rack.json"), "utf8")).arms.map(({ entry }) => entry.kind);
    expect(kinds.sort()).toEqual(["faulty", "planned", "waiting"]);
    const second = await call(["rack", job, arms, "--out", part, "--resume"]);
    expect(second.code).toBe(0);
    expect(readFileSync(join(part, "rack.json"), "utf8")).toBe(readFileSync(join(out, "rack.json"), "utf8"));
    expect(readdirSync(part).sort()).toEqual(["plans", "rack.json"]);
  });

  it("says when there is nothing to go on from, or no arm", async () => {
    const { code, err } = await call(["rack", job, arms, "--resume"]);
    expect([code, err]).toEqual([1, expect.stringContaining("--resume: does not say from where")]);
    mkdirSync(join(folder, "empty"));
    const none = await call(["rack", job, join(folder, "empty")]);
    expect([none.code, none.err]).toEqual([1, expect.stringContaining("holds no arm file")]);
  });
});
