import { describe, expect, test } from "vitest";
import { type ArmDescription, createArm, type Section } from "../../src/arm/index.ts";
import { type Fault, InputError } from "../../src/base/index.ts";
import { twinArm } from "../rod/twin.ts";

function faultsOf(arm: ArmDescription): readonly Fault[] {
  try {
    createArm(arm);
  } catch (error) {
    if (error instanceof InputError) return error.faults;
    throw error;
  }
  return [];
}

function changed(change: Partial<Section>, at = 0): ArmDescription {
  const whole = twinArm({ sections: 2, spans: 2 });
  return { ...whole, sections: whole.sections.map((section, j) => (j === at ? { ...section, ...change } : section)) };
}

describe("counts", () => {
  test("eight sections of three cables: 24 cables, so 24 drives (common practice, no source)", () => {
    const arm = createArm(twinArm());
    expect(arm.cables).toBe(24);
    expect(arm.sections).toBe(8);
    expect([...arm.firstCable]).toEqual([0, 3, 6, 9, 12, 15, 18, 21, 24]);
    expect([...arm.firstSpan]).toEqual([0, 12, 24, 36, 48, 60, 72, 84, 96]);
  });

  test("no two cables share a hole: staggered from section to section", () => {
    const arm = createArm(twinArm());
    for (let a = 0; a < arm.cables; a++) {
      for (let b = 0; b < a; b++) {
        const gap = Math.hypot(
          (arm.cableX[a] as number) - (arm.cableX[b] as number),
          (arm.cableY[a] as number) - (arm.cableY[b] as number),
        );
        expect(gap).toBeGreaterThan(0.8e-3 + 0.2e-3);
      }
    }
  });

  test("spans fill the length: pitches add up, a vertebra's hinge lies in the middle of its span", () => {
    const arm = createArm(twinArm());
    expect(arm.along[96]).toBeCloseTo(0.96, 12);
    expect((arm.lead[5] as number) + (arm.flexible[5] as number) / 2).toBeCloseTo(5e-3, 15);
  });

  test("a locked strain is locked in every span, the others are free", () => {
    const arm = createArm(twinArm({ sections: 1, spans: 2 }), { lock: ["axial", "bend-y"] });
    expect([...arm.freeStrain]).toEqual([1, 0, 1, 0, 1, 0, 1, 0]);
  });
});

describe("mass", () => {
  test("what hangs on the vertebrae is what the description weighs", () => {
    const hose = { name: "hose", bendingStiffness: 0, torsionStiffness: 0, massPerLength: 0.03 };
    const whole = twinArm({ sections: 3, spans: 4 });
    const description = { ...whole, sections: whole.sections.map((s, j) => ({ ...s, hoses: j === 1 ? [hose, hose] : [] })) };
    const arm = createArm(description);
    // counted part by part: 12 vertebrae; 2 rods of 0.12 m; 2 hoses of 0.04 m; 3 cables each of 0.04, 0.08 and 0.12 m
    const vertebrae = 12 * 1.5e-3;
    const rods = 2 * 0.12 * 6450 * Math.PI * 0.5e-3 ** 2;
    const hoses = 2 * 0.04 * 0.03;
    const cables = 3 * (0.04 + 0.08 + 0.12) * 1.6e-3;
    const sum = arm.mass.reduce((a, b) => a + b, 0);
    expect(sum).toBeCloseTo(vertebrae + rods + hoses + cables, 12);
    // and the moment about the base too: rods, hoses and cables are uniform over their sections, so halves at the ends keep it
    const moment = arm.mass.reduce((a, m, i) => a + m * (arm.along[i] as number), 0);
    const expected =
      1.5e-3 * Array.from({ length: 12 }, (_, i) => 0.01 * (i + 1)).reduce((a, b) => a + b, 0) +
      rods * 0.06 +
      hoses * 0.06 +
      3 * 1.6e-3 * (0.04 * 0.02 + 0.08 * 0.04 + 0.12 * 0.06);
    expect(moment).toBeCloseTo(expected, 12);
  });
});

describe("working load", () => {
  test("breaking load x termination / design factor", () => {
    const arm = createArm(twinArm({ sections: 1, spans: 1 }));
    expect(arm.workingLoad[0]).toBeCloseTo((220 * 0.85) / 3, 12);
  });
});

describe("faults", () => {
  test("a sound arm has none", () => {
    expect(faultsOf(twinArm())).toEqual([]);
    expect(faultsOf(twinArm({ single: true }))).toEqual([]);
  });

  test.each<[string, Partial<Section>, Fault["code"], string]>([
    ["no span", { spans: 0 }, "arm.section-layout", "sections[1].spans"],
    ["half a span", { spans: 1.5 }, "arm.section-layout", "sections[1].spans"],
    ["flexible beyond the pitch", { flexible: 11e-3, effectiveLength: 11e-3 }, "arm.section-layout", "sections[1].flexible"],
    ["effective length below the flexible one", { effectiveLength: 2e-3 }, "arm.value", "sections[1].effectiveLength"],
    ["negative mass", { vertebraMass: -1 }, "arm.value", "sections[1].vertebraMass"],
    ["NaN pretension", { pretension: Number.NaN }, "arm.value", "sections[1].pretension"],
    ["infinite pitch", { pitch: Number.POSITIVE_INFINITY }, "arm.value", "sections[1].pitch"],
    ["NaN strain at rest", { rest: [0, Number.NaN, 0] }, "arm.value", "sections[1].rest[1]"],
    ["no rod", { rods: [] }, "arm.rods", "sections[1].rods"],
    ["two cables", { cableAngles: [0, Math.PI] }, "arm.cables", "sections[1].cableAngles"],
    ["all cables on one side", { cableAngles: [0.2, 1, 3.3] }, "arm.cables", "sections[1].cableAngles"],
    ["NaN angle", { cableAngles: [0, 2, Number.NaN] }, "arm.cables", "sections[1].cableAngles[2]"],
    ["cable thicker than its hole", { holeDiameter: 0.5e-3 }, "arm.cables", "sections[1].holeDiameter"],
    ["channel over the rods", { channelDiameter: 7.5e-3 }, "arm.cross-section", "sections[1]"],
    ["holes through the rim", { cableRadius: 7.5e-3 }, "arm.cross-section", "sections[1]"],
    ["cables in the rods", { cableRadius: 4e-3 }, "arm.cross-section", "sections[1]"],
  ])("%s", (_, change, code, path) => {
    const faults = faultsOf(changed(change, 1));
    expect(faults.length).toBeGreaterThan(0);
    // a wrong angle may also put a hole on one of another section: that is told as well
    expect(faults.find((fault) => fault.path === path)?.code).toBe(code);
    for (const fault of faults) expect([code, "arm.cross-section"]).toContain(fault.code);
  });

  test("rods that all slide hold nothing apart", () => {
    const { rods } = twinArm().sections[0] as Section;
    const faults = faultsOf(changed({ rods: rods.map((rod) => ({ ...rod, attachment: "sliding" as const })) }));
    expect(faults.map((f) => f.code)).toEqual(["arm.rods"]);
  });

  test("a cable of an outer section must fit through the inner ones", () => {
    // unstaggered: the outer section's holes lie on the inner section's own
    const whole = twinArm({ sections: 2, spans: 2 });
    const [first] = whole.sections as [Section, Section];
    const faults = faultsOf({ ...whole, sections: [first, { ...first, name: "outer" }] });
    expect(faults).toHaveLength(3);
    for (const fault of faults) {
      expect(fault.path).toBe("sections[0]");
      expect(fault.problem).toMatch(/cable \d \(section 1\) and cable \d \(section 2\) leave a web of -0\.80 mm/);
    }
  });

  test("web: 0.2 mm stands, 0.19 mm does not", () => {
    // rods of 1 mm at 4 mm leave 3.5 mm for the channel's radius and its web
    expect(faultsOf(changed({ channelDiameter: 2 * 3.2999e-3 }))).toEqual([]);
    const faults = faultsOf(changed({ channelDiameter: 2 * 3.31e-3 }));
    expect(faults.length).toBe(4);
    expect(faults[0]?.problem).toContain("0.19 mm");
  });

  test("all faults are told at once, each with its place and value", () => {
    const whole = twinArm({ sections: 3, spans: 2 });
    const [a, b, c] = whole.sections as [Section, Section, Section];
    const rod = a.rods[0]!;
    const faults = faultsOf({
      ...whole,
      sections: [
        {
          ...a,
          pitch: -0.004,
          rods: [
            { ...rod, diameter: Number.NaN },
            { ...rod, material: { ...rod.material, youngModulus: -6e10, poissonRatio: 0.7 } },
          ],
        },
        { ...b, cableAngles: [0, 3] },
        { ...c, cable: { ...c.cable, breakingLoad: 0 } },
      ],
      tool: { ...whole.tool, mass: -1, centre: [0, Number.NaN, 0] },
      conduitLength: Number.NaN,
      conduitStiffness: 0,
      driveStiffness: -1,
      damping: { nominal: 0.05, low: 0.1, high: 1 },
      cableDesignFactor: 0.5,
      terminationFactor: 1.5,
    });
    const paths = faults.map((fault) => fault.path);
    for (const path of [
      "sections[0].pitch",
      "sections[0].rods[0].diameter",
      "sections[0].rods[1].material.youngModulus",
      "sections[0].rods[1].material.poissonRatio",
      "sections[1].cableAngles",
      "sections[2].cable.breakingLoad",
      "tool.mass",
      "tool.centre[1]",
      "conduitLength",
      "conduitStiffness",
      "driveStiffness",
      "damping",
      "cableDesignFactor",
      "terminationFactor",
    ])
      expect(paths).toContain(path);
    expect(faults.find((fault) => fault.path === "sections[0].pitch")?.problem).toContain("-4 mm");
    for (const fault of faults) expect(fault.hint).toMatch(/^(Give|Move|Place|Clamp)/);
  });

  test("edges of the holes take their share of a cable's strength: 86 % is left over ten diameters, 50 % over one (a wire-rope handbook's table)", () => {
    const whole = twinArm({ sections: 2, spans: 2 });
    const sections = (holeEdge?: number) => whole.sections.map((s) => ({ ...s, ...(holeEdge === undefined ? {} : { holeEdge }) }));
    const d = whole.sections[0]?.cable.diameter as number;
    const load = (holeEdge?: number): number => createArm({ ...whole, sections: sections(holeEdge) }).workingLoad[0] as number;
    expect(load(5 * d) / load()).toBeCloseTo(0.86, 12);
    expect(load(0.5 * d) / load()).toBeCloseTo(0.5, 12);
    const faults = faultsOf({ ...whole, sections: sections(0.4 * d) });
    expect(faults[0]).toMatchObject({ code: "arm.cables", path: "sections[0].holeEdge" });
  });

  test("an arm without sections", () => {
    expect(faultsOf({ ...twinArm(), sections: [] }).map((f) => [f.code, f.path])).toEqual([["arm.section-layout", "sections"]]);
  });
});
