/** Every example is planned, and keeps its promises. */
import { describe, expect, test } from "vitest";
import { expectSound, refine } from "./check-plan.ts";
import { planJob, readExample, use } from "./plan-example.ts";

describe("valve gallery: seven sections of three cables", () => {
  const { model, result } = planJob(readExample("valve-gallery"));

  test("goes, with conditions; 21 drives, about 0.9 m long, 16 mm thick, 50 g at the tip", () => {
    expectSound(result);
    expect(result.verdict.answer).toBe("go with conditions");
    expect(model.arm.cables).toBe(21);
    expect(model.arm.along[model.arm.spans]!).toBeCloseTo(0.9, 2);
    expect(model.job.arm.sections[0]!.outerDiameter).toBe(0.016);
    expect(model.job.arm.tool.mass).toBe(0.05);
  });

  test("the tool looks at the weld from 30 to 60 mm, its line within 5 mm of the place", () => {
    const last = result.wayIn[result.wayIn.length - 1]!;
    const { target } = model.job;
    const f = 12 * model.arm.spans;
    const axis = [last.frames[f + 2]!, last.frames[f + 5]!, last.frames[f + 8]!];
    const to = target.place.map((p, r) => p - last.tool[r]!);
    const along = to.reduce((sum, v, r) => sum + v * axis[r]!, 0);
    expect(along).toBeGreaterThan(0.03 - 5e-3);
    expect(along).toBeLessThan(0.06 + 5e-3);
    expect(Math.sqrt(to.reduce((sum, v) => sum + v * v, 0) - along * along)).toBeLessThan(5e-3);
  });

  test("margins add up: use is demand over limit, clearance required over available", () => {
    for (const row of result.verdict.rows)
      if (Number.isFinite(row.use) && row.limit > 0 && row.id !== "slack") expect(row.use).toBeCloseTo(row.demand / row.limit, 9);
  });

  test("the clearance stated holds ten times finer: between all depths, on dense points of every vertebra", () => {
    const worst = refine(model, result, 10);
    expect(worst.checked).toBeGreaterThan(500);
    // rim points 24 to a turn miss at most R (1 - cos(7.5 deg)) = 0.07 mm, which makes the sampled value larger, not smaller
    expect(worst.lack).toBeLessThanOrEqual(0.07e-3);
  });
});

test("valve gallery with eight sections: 24 drives (8 sections x 3 cables; common practice, no source)", () => {
  const { model, result } = planJob(readExample("valve-gallery-8"));
  expectSound(result);
  expect(model.arm.cables).toBe(24);
  expect(result.verdict.answer).toBe("go with conditions");
});

describe("water box: four cables a section, single backbone, a camera hung off the axis", () => {
  const job = readExample("water-box");
  const { model, result } = planJob(job);
  test("goes, with conditions, and says that the picture turns", () => {
    expectSound(result);
    expect(model.arm.cables).toBe(16);
    expect(result.verdict.answer).toBe("go with conditions");
    expect(result.verdict.conditions.join(" ")).toMatch(/tip turns by .* about its own axis/);
  });
  test("a twin backbone in its place holds the twist (a pair resists it by its bending, 12 EI / l^3)", () => {
    const twin = {
      ...job,
      arm: {
        ...job.arm,
        sections: job.arm.sections.map((s) => ({
          ...s,
          alternating: true,
          rods: [-4e-3, 4e-3].map((x) => ({ ...s.rods[0]!, x, y: 0, diameter: s.rods[0]!.diameter * 2 ** -0.25 })),
        })),
      },
    };
    const other = planJob(twin).result;
    expect(other.route.status).toBe("found");
    expect(use(other, "twist")).toBeLessThan(use(result, "twist") / 3);
  });
});
