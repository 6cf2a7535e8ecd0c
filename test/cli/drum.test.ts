import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { call, root } from "./call.ts";

const arm = join(root, "examples/water-box/arm.yaml");
const folder = mkdtempSync(join(tmpdir(), "withy-drum-"));
afterAll(() => rmSync(folder, { recursive: true }));

describe("withy drum", () => {
  it("tells the coil row by row as it is paid out, and ends with 0 when it goes", async () => {
    const { code, out, err } = await call(["drum", arm, "--radius", "150mm", "--cover", "2mm", "--pull", "20N", "--json"]);
    expect(err).toBe("");
    expect(code).toBe(0);
    const answer = JSON.parse(out);
    expect(answer).toMatchObject({ fits: true, faults: [], coreRadiusM: 0.15, lay: "helix", pullN: 20 });
    const out_ = answer.rows.map((row: { paidOutM: number }) => row.paidOutM);
    expect(out_).toEqual([...out_].sort((a: number, b: number) => a - b));
    const full = answer.rows[0];
    // belt friction of the arm on the core, 0.1 to 0.3
    expect(full.anchorMostN).toBeCloseTo(20 * Math.exp(-0.1 * full.wrapRad), 9);
    expect(full.anchorLeastN).toBeCloseTo(20 * Math.exp(-0.3 * full.wrapRad), 9);
    expect(full.payingOut).toBeNull();
    expect(answer.rows[1].payingOut.driveN).toHaveLength(full.windingUp.driveN.length);
  });

  it("in words: what is wrong by name, and ends with 2", async () => {
    const { code, out } = await call(["drum", arm, "--radius", "40mm", "--insert", "3mm,80mm"]);
    expect(code).toBe(2);
    expect(out).toContain("it does not go");
    expect(out).toMatch(/Joint \d+ is bent by [\d.]+ deg where its stop is at 10 deg/);
    expect(out).toContain("does not stay in the bent channel");
    expect(out).toContain("paid out");
  });

  it("takes the drum of the arm file, and an option over it", async () => {
    const path = join(folder, "arm.yaml");
    writeFileSync(path, `${readFileSync(arm, "utf8")}drum:\n  core-diameter: 320 mm\n  lay: spiral\n  cover: 1 mm\n  friction: 0.15\n`);
    const own = JSON.parse((await call(["drum", path, "--json"])).out);
    expect(own).toMatchObject({ coreRadiusM: 0.16, lay: "spiral", friction: { low: 0.15, nominal: 0.15, high: 0.15 } });
    const over = JSON.parse((await call(["drum", path, "--radius", "200mm", "--lay", "helix", "--json"])).out);
    expect(over).toMatchObject({ coreRadiusM: 0.2, lay: "helix" });
    expect(over.pitchM).toBeGreaterThan(0.016);
  });

  it("says all that is wrong with the options at once, and with the file's drum where it stands", async () => {
    const { code, out } = await call(["drum", arm, "--pitch", "3kg", "--friction", "much", "--insert", "3mm", "--json"]);
    expect(code).toBe(1);
    expect(JSON.parse(out).faults.map((fault: { path: string }) => fault.path)).toEqual(["--radius", "--pitch", "--friction", "--insert"]);
    const path = join(folder, "wrong.yaml");
    writeFileSync(path, `${readFileSync(arm, "utf8")}drum:\n  core-diameter: 320 mm\n  pull: -2 N\n  layy: spiral\n`);
    const wrong = await call(["drum", path, "--json"]);
    expect(wrong.code).toBe(1);
    expect(JSON.parse(wrong.out).faults.map((fault: { code: string }) => fault.code)).toContain("shape.unknown-key");
  });
});
