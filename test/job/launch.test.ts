import { describe, expect, test } from "vitest";
import type { Fault } from "../../src/base/index.ts";
import { faultsOf, loadSample, sampleText, swap } from "./example.ts";

const job = sampleText("box", "job.yaml");

/** The sample's port is a 44 mm bore at (220, 0, 0) mm, inwards straight down, in a wall of 16 mm. Points in mm, from where the arm enters. */
function withTube(...points: readonly (readonly [number, number, number, number?])[]): string {
  const lines = points.map(
    ([x, y, z, bend]) => `      - { at: [${x} mm, ${y} mm, ${z} mm]${bend === undefined ? "" : `, bend: ${bend} mm`} }`,
  );
  return `${job}\nlaunch:\n  tube:\n    points:\n${lines.join("\n")}\n    bore: 36 mm\n    outside: 40 mm\n`;
}

function faults(text: string): readonly Fault[] {
  return faultsOf(() => loadSample("box", { "job.yaml": text }));
}

describe("a guide tube", () => {
  test.each([
    ["straight through the port", withTube([220, 0, 100], [220, 0, -20])],
    ["that ends flush with the wall's inner face", withTube([220, 0, 100], [220, 0, 0])],
    ["that begins at the port, with the straight guide before it", withTube([220, 0, 0], [220, 0, -30])],
    ["slantwise through the bore", withTube([220, -15, 50], [220, 15, -50])],
    ["bent before the port", withTube([220, -100, 200], [220, 0, 100, 150], [220, 0, -20])],
    ["bent within the port", withTube([220, 0, 100], [220, 0, 0, 80], [220, 40, -40])],
  ])("%s is taken", (_what, text) => {
    expect(loadSample("box", { "job.yaml": text }).launch?.tube).toBeDefined();
  });

  test.each([
    ["beside the port", withTube([420, 0, 100], [420, 0, -20]), /200 mm beside the port's centre, and its bore is 44 mm/],
    ["across the port's plane, far off", withTube([220, -70, 5], [220, 70, -10]), /beside the port's centre/],
    ["from inside alone", withTube([220, 100, -20], [220, 160, -20]), /lead nowhere from outside/],
    ["given backwards", withTube([220, 0, -20], [220, 0, 100]), /ends the tube 100 mm outside the port/],
  ])("%s is refused", (_what, text, says) => {
    expect(faults(text)).toHaveLength(1);
    expect(faults(text)[0]).toMatchObject({ code: "job.launch", problem: expect.stringMatching(says), file: "job.yaml" });
  });

  test("that doubles back is told once, at its corner", () => {
    const told = faults(withTube([220, 0, 100], [220, 0, -20, 30], [220, 0, 60]));
    expect(told.map(({ path }) => path)).toEqual(["launch.tube.points[1]"]);
    expect(told[0]?.problem).toContain("straight back");
  });

  test("longer than the arm is refused, as is such a guide", () => {
    expect(faults(withTube([220, 0, 3000], [220, 0, -20]))[0]).toMatchObject({
      code: "job.launch",
      path: "launch.tube.points",
      problem: expect.stringMatching(/^make guide and tube 3\.1 m long, and the arm with its tool is .*: nothing of it comes out/),
    });
    expect(faults(swap(job, "guide-length: 80 mm", "guide-length: 5 m"))[0]).toMatchObject({
      code: "job.guide",
      path: "guide-length",
      problem: expect.stringMatching(/^is 5 m, and the arm with its tool .*: nothing of it comes out/),
    });
  });
});

describe("numbers beyond any machine", () => {
  test.each([
    ["a place", swap(job, "at: [120 mm, -250 mm, -90 mm]", "at: [1e200 mm, -250 mm, -90 mm]"), "space.placement", /within 10000 m/],
    ["a diameter", swap(job, "    diameter: 20 mm", "    diameter: 30 km".replace("30 km", "30000 m")), "space.dimension", /up to 10000 m/],
    ["a tilt", swap(job, "tilt-tolerance: 0.5 deg", "tilt-tolerance: 400 deg"), "quantity.limit", /up to 90 deg/],
    ["gravity", `${job}\nconditions:\n  gravity: [0 m/s2, 0 m/s2, 1e300 m/s2]\n`, "quantity.limit", /1000 m\/s2/],
  ])("%s is refused", (_what, text, code, hint) => {
    expect(faults(text)).toHaveLength(1);
    expect(faults(text)[0]).toMatchObject({ code, hint: expect.stringMatching(hint) });
  });
});

describe("words of a fault", () => {
  test("a number that must be above 0 is not told to be at least 0", () => {
    const [fault] = faultsOf(() =>
      loadSample("box", { "arm.yaml": `${sampleText("box", "arm.yaml")}\ndrives: { spool: { radius: 8 mm }, gear: { ratio: 0 } }\n` }),
    );
    expect(fault).toMatchObject({ path: "drives.gear.ratio", hint: "Give more than 0." });
  });

  test("a rectangle without its first side's direction lacks that, and no radius", () => {
    const told = faults(swap(job, "  tolerance: 8 mm", "  tolerance: 8 mm\n  patch: { size: [10 mm, 20 mm] }"));
    expect(told.map(({ code, path }) => [code, path])).toEqual([["shape.missing-key", "target.patch.along"]]);
  });

  test("a group where a word belongs is told as one", () => {
    const [fault] = faults(swap(job, "shape: cylinder", "shape: { cylinder: 1 }"));
    expect(fault?.problem).not.toContain("object Object");
  });

  test("a hole is told by its diameter, as it was given", () => {
    expect(faults(swap(job, "hole: 44 mm", "hole: 600 mm"))[0]?.problem).toContain("is 600 mm: the hole is as wide as the plate");
  });
});
