import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { call, root } from "./call.ts";

const arm = join(root, "examples/valve-gallery/arm.yaml");
// seven sections of twelve spans of 10.7 mm, and a tool of 30 mm
const length = 7 * 12 * 0.0107 + 0.03;

const folder = mkdtempSync(join(tmpdir(), "withy-solve-"));
const spoiled = join(folder, "arm.yaml");
beforeAll(() => writeFileSync(spoiled, readFileSync(arm, "utf8")));
afterAll(() => rmSync(folder, { recursive: true }));

async function solved(...args: string[]) {
  const { code, out, err } = await call(["solve", arm, ...args, "--json"]);
  expect(err).toBe("");
  return { code, ...JSON.parse(out) };
}

describe("withy solve", () => {
  it("hangs straight down from a guide that points down", async () => {
    const shape = await solved("--axis", "0,0,-1");
    expect(shape).toMatchObject({ code: 0, status: "stable" });
    const [x, y, z] = shape.toolPointM;
    // symmetry: nothing draws it aside; cables shorten and weight lengthens it by far less than 0.1 %
    expect(Math.hypot(x, y)).toBeLessThan(1e-9);
    expect(Math.abs(z + length)).toBeLessThan(1e-3 * length);
    // the pretension of the file, everywhere
    expect(shape.cables).toHaveLength(21);
    for (const { tensionN } of shape.cables) expect(tensionN).toBeCloseTo(6, 9);
  });

  it("leans a section by the angle towards the direction it is told", async () => {
    const shape = await solved("--bend", "4=20deg@90deg", "--gravity", "0,0,0");
    expect(shape.code).toBe(0);
    expect(shape.sections[3].bendRad).toBeCloseTo((20 * Math.PI) / 180, 6);
    expect(shape.sections[3].directionRad).toBeCloseTo(Math.PI / 2, 6);
    // the aim has turned from the axis towards the arm's y by the angle (weightless: what remains straight, remains)
    const along = (v: number[]): number => v.reduce((sum, c, k) => sum + c * shape.aim[k], 0);
    // cables of the inner sections, dragged along, lean it aside by some thousandths of a degree
    expect(along(shape.armX)).toBeCloseTo(0, 4);
    expect(Math.atan2(along(shape.armY), along([1, 0, 0]))).toBeGreaterThan(0.3);
  });

  it("warmed with the drives locked: the pull falls by EA (cable - arm) dT where the arm does not give, and less where it does", async () => {
    const shape = await solved("--gravity", "0,0,0", "--temperature", "0degC..30degC", "--outside-temperature", "20degC");
    expect(shape.warm.map((one: { armK: number }) => Math.round(one.armK * 100))).toEqual([27315, 30315]);
    const [cold, hot] = shape.warm;
    // stainless 7x7 of 0.6 mm against nitinol: 73.16 GPa, 17.2 less 11.0 um/m/K
    const most = ((73.16e9 * Math.PI * 0.6e-3 ** 2) / 4) * (17.2e-6 - 11e-6);
    expect(6 - Math.min(...hot.tensionN)).toBeGreaterThan(0);
    expect(6 - Math.min(...hot.tensionN)).toBeLessThan(10 * most);
    expect(Math.max(...cold.tensionN) - 6).toBeLessThan(20 * most);
    expect(hot.straightLineEndsAt).toBeCloseTo(0.0083 + (6.5 * 10) / 60e3, 9);
    const { out } = await call(["solve", arm, "--temperature", "30degC"]);
    expect(out).toContain("Warmed and cooled with the drives locked");
    const wrong = await call(["solve", arm, "--outside-temperature", "hot", "--json"]);
    expect(wrong.code).toBe(1);
    expect(JSON.parse(wrong.out).faults.map((fault: { path: string }) => fault.path)).toEqual(["--outside-temperature", "--temperature"]);
  });

  it("balances what it shows: the residual is re-computed and small", async () => {
    const shape = await solved("--bend", "all=4deg@90deg", "--force", "0N,0.05N,0N");
    // 0.9 m of arm and 50 g at its end make about 0.5 N m; a millionth of it is lost in no reading
    expect(shape.residualNm).toBeLessThan(5e-7);
  });

  it("follows a cable that is pulled: the arm leans to its side and the cable comes in", async () => {
    const pulled = await solved("--tension", "19=14N", "--axis", "0,0,-1");
    expect(pulled.code).toBe(0);
    expect(pulled.cables[18].tensionN).toBe(14);
    expect(pulled.cables[18].drawnInM).toBeGreaterThan(1e-3);
    expect(pulled.sections[6].bendRad).toBeGreaterThan(0.02);
  });

  it("says in words what it says in numbers, in the units asked for", async () => {
    const metric = await call(["solve", arm, "--axis", "0,0,-1"]);
    expect(metric.out).toMatch(/balanced and stable, simulated/);
    expect(metric.out).toMatch(/Tool point 0 mm, 0 mm, -9\d\d\.\d+ mm/);
    const inch = await call(["solve", arm, "--axis", "0,0,-1", "--units", "inch"]);
    expect(inch.out).toMatch(/-36\.\d+ in/);
  });

  it("shows no shape where none was found, and ends with 3", async () => {
    const shape = await solved("--tension", "all=100000N", "--force", "0N,0N,-500N");
    expect(shape.code).toBe(3);
    expect(["buckled", "not-converged"]).toContain(shape.status);
    expect(shape.toolPointM).toBeUndefined();
    expect((await call(["solve", arm, "--tension", "all=100000N", "--force", "0N,0N,-500N"])).out).toContain("No shape is shown");
  });

  it("finds every fault of its options at once", async () => {
    const { code, err } = await call(
      ["solve", arm, "--bend", "9=20deg", "--bend", "1", "--bend", "2=200deg", "--tension", "4=-3N", "--axis", "0,0,0", "--gravity", "down", "--force", "1N,2N", "--reach", "9m"],
    ); // biome-ignore format: one command
    expect(code).toBe(1);
    for (const part of [
      "names no section",
      "is not understood",
      "half a turn",
      "A cable can only pull",
      "beside --bend",
      "has no direction",
      "not a direction",
      "three parts",
      "not within the arm",
    ]) {
      expect(err).toContain(part);
    }
    expect(err).toContain("9 faults.");
  });

  it("refuses a bend of a section that is still in the guide", async () => {
    const { code, err } = await call(["solve", arm, "--bend", "1=10deg", "--reach", "200mm"]);
    expect(code).toBe(1);
    expect(err).toContain("section 1");
    expect(err).toContain("out of the guide");
  });

  it("refuses an arm file with faults, by line", async () => {
    writeFileSync(spoiled, readFileSync(arm, "utf8").replace("diameter: 1.0 mm", "diameter: -1.0 mm"));
    const { code, err } = await call(["solve", spoiled]);
    expect(code).toBe(1);
    expect(err).toMatch(new RegExp(`${spoiled}:\\d+:\\d+ `));
  });
});
