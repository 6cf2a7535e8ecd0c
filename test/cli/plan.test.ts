import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { readPlanJson } from "../../src/report/index.ts";
import { roomJob } from "../browser/room-job.ts";
import { type Called, call, root } from "./call.ts";

const folder = mkdtempSync(join(tmpdir(), "withy-plan-"));
const job = join(folder, "water-box");
const jobFile = join(job, "job.yaml");
const out = join(folder, "record");
let planned: Called;

beforeAll(async () => {
  cpSync(join(root, "examples/water-box"), job, { recursive: true });
  planned = await call(["plan", job, "--out", out, "--json"]);
});
afterAll(() => rmSync(folder, { recursive: true }));

describe("withy plan", () => {
  it("gives a machine one document, and ends with the code of the answer", () => {
    const told = JSON.parse(planned.out);
    const codes = { go: 0, "go with conditions": 0, "no go": 2, undecided: 3 };
    expect(planned.code).toBe(codes[told.verdict.answer as keyof typeof codes]);
    expect(told.job).toContain("Marl Quay 1");
    for (const part of ["One backbone against two", "Locked in the deepest shape"]) {
      expect(readFileSync(join(out, "report.html"), "utf8")).toContain(part);
    }
    expect(told.inputs.map(({ file }: { file: string }) => file)).toEqual(["job.yaml", "arm.yaml"]);
    expect(told.verdict.rows.length).toBeGreaterThan(5);
    expect(told.verdict.notChecked.length).toBeGreaterThan(0);
    expect(told.depths.wayIn).toBeGreaterThan(10);
  });

  it("leaves the record, whole, and nothing beside it", () => {
    const names = ["arm.glb", "drives.csv", "drives.json", "plan.json", "report.html"];
    expect(readdirSync(out).sort()).toEqual(names);
    expect(JSON.parse(planned.out).written).toEqual(
      ["plan.json", "report.html", "drives.csv", "drives.json", "arm.glb"].map((name) => join(out, name)),
    );
    const plan = readPlanJson(readFileSync(join(out, "plan.json"), "utf8"));
    expect(plan.verdict.answer).toBe(JSON.parse(planned.out).verdict.answer);
    expect(plan.wayIn.length).toBe(JSON.parse(planned.out).depths.wayIn);
    expect(readFileSync(join(out, "report.html"), "utf8")).toContain("Marl Quay 1");
    expect(readFileSync(join(out, "drives.csv"), "utf8").split("\n").length).toBeGreaterThan(plan.wayIn.length);
    const glb = readFileSync(join(out, "arm.glb"));
    // binary glTF 2.0: magic "glTF", version 2, the length of the whole file
    expect([glb.readUInt32LE(0), glb.readUInt32LE(4), glb.readUInt32LE(8)]).toEqual([0x46546c67, 2, glb.length]);
  });

  it("ends with 2 when a limit is passed, and says by what", async () => {
    const text = readFileSync(jobFile, "utf8");
    writeFileSync(jobFile, text.replace(/sag: \S+ mm/, "sag: 0.01 mm"));
    const { code, out: said } = await call(["plan", job]);
    writeFileSync(jobFile, text);
    expect(said).toMatch(/^NO GO: /);
    expect(said).toMatch(/Sag: .* against a limit of 10 um/);
    expect(code).toBe(2);
  });

  it("lists the routes there are with what each leaves to spare, and refuses a number that is none of them", async () => {
    const room = join(folder, "room");
    cpSync(join(root, "test/browser/duct"), room, { recursive: true });
    writeFileSync(join(room, "job.yaml"), roomJob);
    const { code, out: said } = await call(["plan", room, "--routes", "--json"]);
    const { routes } = JSON.parse(said) as { routes: { number: number; lengthM?: number; leastRoomM?: number; status: string }[] };
    const found = routes.filter(({ status }) => status === "found");
    expect(code).toBe(0);
    expect(found.length).toBeGreaterThan(1);
    for (const { lengthM, leastRoomM } of found) {
      // the floor is 250 mm down, looked at from 70 mm at most; the arm puts out 240 mm
      expect(lengthM).toBeGreaterThan(0.18 - 1e-9);
      expect(lengthM).toBeLessThan(0.24);
      expect(leastRoomM).toBeGreaterThanOrEqual(0);
    }
    const refused = await call(["plan", room, "--route", "9"]);
    expect(refused.code).toBe(1);
    expect(refused.err).toMatch(/--route.* is 9, and \d routes were found/);
  });

  it("tries changes of the arm when asked, and says what they did", async () => {
    const { out: said } = await call(["plan", job, "--turn", "1"]);
    expect(said).toMatch(/Planned again\n {2}- pretension up by half: (go|no go|undecided)/);
  });

  it("stops before it writes when told to", async () => {
    const stop = new AbortController();
    setTimeout(() => stop.abort(), 300);
    const { code, err } = await call(["plan", job, "--turn", "9", "--out", join(folder, "never")], stop.signal);
    expect(code).toBe(130);
    expect(err).toContain("Cancelled");
    expect(existsSync(join(folder, "never"))).toBe(false);
  });

  it("refuses a place to write that is none, and says so as the system's word", async () => {
    const { code, out: said, err } = await call(["plan", job, "--out", join(jobFile, "record")]);
    expect(code).toBe(74);
    // before the work, not after it
    expect(said).toBe("");
    expect(err).toContain("a file, not a folder");
  });

  it("plans nothing of a job with faults", async () => {
    const text = readFileSync(jobFile, "utf8");
    writeFileSync(jobFile, text.replace(/bore: /, "boar: "));
    const { code, err } = await call(["plan", job, "--out", join(folder, "never")]);
    writeFileSync(jobFile, text);
    expect(code).toBe(1);
    expect(err).toContain("boar");
    expect(err).toContain("bore");
    expect(existsSync(join(folder, "never"))).toBe(false);
  });
});
