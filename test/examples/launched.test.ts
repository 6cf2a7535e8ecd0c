/** The examples that come through a tube, off a drum, under water, and with a grinder: each is planned, and keeps its promises. */
import { describe, expect, test } from "vitest";
import { expectSound, refine } from "./check-plan.ts";
import { planJob, readExample, use } from "./plan-example.ts";

/** rim points 24 to a turn miss at most R (1 - cos(7.5 deg)) of a radius R, which makes a sampled value larger, not smaller, m */
const missed = (radius: number): number => radius * (1 - Math.cos((7.5 * Math.PI) / 180));

describe("valve gallery from a drum into a tube", () => {
  const { model, result } = planJob(readExample("valve-gallery-drum"));
  const tip = model.arm.cables - 1;

  test("goes, with conditions; 24 drives; the clearance stated holds ten times finer", () => {
    expectSound(result);
    expect(result.verdict.answer).toBe("go with conditions");
    expect(model.arm.cables).toBe(24);
    expect(refine(model, result, 10, 4).lack).toBeLessThanOrEqual(missed(8e-3));
  });

  test("what a cable of the last section pulls at its drive: Euler and Eytelwein over tube and drum by hand", () => {
    const { description } = model.arm;
    const full = (model.arm.along[model.arm.spans] as number) + description.tool.length;
    const [muLow, muHigh] = [0.05, 0.09];
    const conduit = 0.08 * (Math.PI / 2);
    // the tube's one corner, from its drawn points; the coil lies with its middle 8 mm off the core of 300 mm
    const corner = Math.atan2(70, 130);
    for (const record of result.wayIn.filter((_, k) => k % 12 === 0)) {
      const behind = full - record.depth;
      const tube = Math.hypot(70, 130) * 1e-3 + 0.12 - 2 * 0.26 * Math.tan(corner / 2) + 0.26 * corner;
      const wrapped = Math.max(0, behind - tube - 0.02) / 0.308;
      const low = (record.rub?.most[tip] as number) / (record.tension[tip] as number);
      // twin hinges turn a cable at most root 2 as far as the arm itself is turned; the free part adds its own bends, at most as far again as the way turns
      expect(low).toBeGreaterThan(0.98 * Math.exp(muHigh * (wrapped + 0.9 * corner) + conduit));
      expect(low).toBeLessThan(Math.exp(muHigh * (Math.SQRT2 * (wrapped + corner) + 6) + conduit));
      expect(muLow).toBeLessThan(muHigh);
    }
  });

  test("vertebrae in the tube lie on its line: within the port's plate, on the axis of its hole", () => {
    const { frames, firstFree } = result.wayIn[result.wayIn.length - 1]!;
    let looked = 0;
    for (let i = 1; i < firstFree; i++) {
      if ((frames[12 * i + 11] as number) > 0.012) continue;
      expect(Math.hypot(frames[12 * i + 9] as number, frames[12 * i + 10] as number)).toBeLessThan(1e-9);
      looked++;
    }
    expect(looked).toBeGreaterThan(1);
  });
});

describe("oil sump behind a labyrinth: a passive tail and three active sections", () => {
  const { model, result } = planJob(readExample("oil-sump"));

  test("goes, with conditions; nine drives; the clearance stated holds ten times finer", () => {
    expectSound(result);
    expect(result.verdict.answer).toBe("go with conditions");
    expect([model.arm.cables, model.arm.sections]).toEqual([9, 4]);
    expect(refine(model, result, 10).lack).toBeLessThanOrEqual(missed(5.5e-3));
  });

  test("the tube keeps from the inner baffle what its drawing says: hole 11 mm, tube 7.5 mm, stand-off 0.5 mm", () => {
    const row = result.verdict.rows.find((one) => one.id === "guide-clearance")!;
    expect(row.limit).toBeGreaterThan(0.0025);
    expect(row.limit).toBeLessThanOrEqual(0.003);
  });

  test("the tail bends in the tube as the tube does: a pair of joints 20 mm long round 150 mm, one of them all of it or, turned, a part", () => {
    const tail = result.wayIn.flatMap((record) => Array.from(record.jointAngle.subarray(0, 46)).filter((_, i) => i < record.firstFree));
    // all of it where a hinge's axis stands across the bend, 1 / root 2 of it where the arm is turned half-way between two
    expect(Math.max(...tail)).toBeGreaterThan((0.98 * (20 / 150)) / Math.SQRT2);
    expect(Math.max(...tail)).toBeLessThan(1.02 * (20 / 150));
  });
});

describe("flooded drainage pump", () => {
  const job = readExample("drain-pump");
  const { model, result } = planJob(job);

  test("goes, with conditions; 18 drives; the clearance stated holds ten times finer", () => {
    expectSound(result);
    expect(result.verdict.answer).toBe("go with conditions");
    expect(model.arm.cables).toBe(18);
    expect(refine(model, result, 10).lack).toBeLessThanOrEqual(missed(7.5e-3));
  });

  test("water carries part of it: in air the same arm sags more, by the ratio of its weights within a fifth (Archimedes)", () => {
    const dry = planJob({ ...job, conditions: { ...job.conditions, fluid: "dry" } }).result;
    const mass = model.arm.mass.reduce((sum, value) => sum + value, 0) + job.arm.tool.mass;
    const lifted = 999 * (model.arm.volume.reduce((sum, value) => sum + value, 0) + (Math.PI / 4) * 0.015 ** 2 * 0.034);
    const ratio = use(result, "sag") / use(dry, "sag");
    expect(Math.abs(ratio / (1 - lifted / mass) - 1)).toBeLessThan(0.2);
  });
});

describe("guide-vane casing: a short stiff arm with a grinder", () => {
  const { model, result } = planJob(readExample("vane-casing"));

  test("goes, with conditions; 12 drives; the clearance stated holds ten times finer", () => {
    expectSound(result);
    expect(result.verdict.answer).toBe("go with conditions");
    expect(model.arm.cables).toBe(12);
    expect(refine(model, result, 10).lack).toBeLessThanOrEqual(missed(15e-3));
  });
});
