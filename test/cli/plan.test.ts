import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { pickRoute } from "../../apps/cli/plan-job.ts";
import { readDriveTableJson, readPlanJson } from "../../src/report/index.ts";
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
    const names = ["arm.glb", "drives.csv", "drives.json", "plan.json", "report.html", "runsheet.html", "section.svg"];
    expect(readdirSync(out).sort()).toEqual(names);
    expect(JSON.parse(planned.out).written).toEqual(
      ["plan.json", "report.html", "section.svg", "runsheet.html", "drives.csv", "drives.json", "arm.glb"].map((name) => join(out, name)),
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

  it("tells the drives of a plan that was written, at another feed rate, with their units; and refuses a plan of other files", async () => {
    const saved = join(out, "plan.json");
    const told = await call(["drives", job, "--plan", saved, "--feed-rate", "2mm/s", "--json"]);
    const { table, cables } = readDriveTableJson(told.out);
    const plan = readPlanJson(readFileSync(saved, "utf8"));
    expect(cables.length).toBe(16);
    expect(table.rows.length).toBe(plan.wayIn.length + plan.wayOut.length);
    // no drive is told, so nothing holds the feed up: length over rate
    const length = plan.wayIn.at(-1)!.depth - plan.wayIn[0]!.depth;
    expect(Math.abs(table.ways[0]!.time - length / 2e-3)).toBeLessThan(1e-6 * table.ways[0]!.time);
    expect(told.code).toBe(planned.code);
    expect((await call(["drives", job, "--plan", saved])).out).toContain("not timed: give a feed-rate");
    const other = await call(["drives", join(root, "examples/valve-gallery"), "--plan", saved]);
    expect(other.code).toBe(1);
    expect(other.err).toContain("--plan: was made from other contents of job.yaml");
    expect((await call(["drives", job, "--plan", saved, "--feed-rate", "2mm"])).err).toContain("--feed-rate");
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
    const some = found.map(({ number }) => ({ number, route: { status: "found", obstacles: [], resolution: 1e-3 }, ask: 0 }) as const);
    expect(pickRoute(some, 2).number).toBe(2);
    expect(() => pickRoute(some, 9)).toThrow(/--route.* is 9, and \d routes were found/);
  });

  it("tries changes of the arm when asked, and says what they did", async () => {
    const { out: said } = await call(["plan", job, "--turn", "1"]);
    expect(said).toMatch(/Planned again\n {2}- pretension up by half: (go|no go|undecided)/);
  });

  it("looks for the smallest change that would do, where it is no go: of what the job allows alone", async () => {
    const text = readFileSync(jobFile, "utf8");
    const rows = JSON.parse(planned.out).verdict.rows as { id: string; demand: number }[];
    const sag = 1000 * (rows.find((row) => row.id === "sag")?.demand ?? Number.NaN);
    writeFileSync(jobFile, `${text.replace(/sag: \S+ mm/, `sag: ${0.97 * sag} mm`)}\nmay-change: [pretension, backbone]\n`);
    const { code, out: said } = await call(["plan", job, "--seek", "--json"]);
    writeFileSync(jobFile, text);
    const told = JSON.parse(said);
    // the arm of the file is no go all the same
    expect(code).toBe(2);
    expect(told.sought.found.says).toMatch(/^(rods|pretension|twin)/);
    expect(told.sought.found.answer).toBe("go with conditions");
    expect(told.turns.at(-1).size).toBeGreaterThan(0);
    expect(told.turns.every((turn: { says: string }) => /^(rods|pretension|twin)/.test(turn.says))).toBe(true);
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
