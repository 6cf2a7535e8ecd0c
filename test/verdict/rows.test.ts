/** Every margin against numbers worked out on paper. */
import { describe, expect, test } from "vitest";
import type { Body } from "../../src/space/index.ts";
import { judge, type MarginRow } from "../../src/verdict/index.ts";
import { arm, body, facts, record } from "./made-facts.ts";

function row(made: ReturnType<typeof facts>, id: string): MarginRow {
  const found = judge(made).rows.find((r) => r.id === id);
  if (found === undefined) throw new Error(`no row ${id}`);
  return found;
}

/** A per-span or per-cable array with one value in it. */
function one(n: number, at: number, value: number, rest = 0): Float64Array {
  const out = new Float64Array(n).fill(rest);
  out[at] = value;
  return out;
}

test("reach: 72 mm out of 60 mm of spans and 30 mm of tool", () => {
  const reach = row(facts(), "reach");
  expect(reach.demand).toBe(0.072);
  expect(reach.limit).toBeCloseTo(0.09, 12);
  expect(reach.use).toBeCloseTo(0.8, 12);
  expect(reach.state).toBe("ok");
  expect(row(facts({ wayIn: [record({ depth: 0.0882 })] }), "reach").state).toBe("warning");
});

describe("clearance", () => {
  test("2 mm asked for, 2.5 mm there on the way out: four fifths used", () => {
    const clearance = row(facts({ wayOut: [record({ asked: 2.5e-3, askedVertebra: 4, askedBody: 0 })] }), "clearance");
    expect(clearance.demand).toBe(2e-3);
    expect(clearance.limit).toBe(2.5e-3);
    expect(clearance.use).toBeCloseTo(0.8, 12);
    // vertebra 4 of a straight arm of 10 mm pitch whose base is 18 mm behind the exit
    expect(clearance.where).toMatchObject({ way: "out", depth: 0.072, vertebra: 4, body: 0 });
    expect(clearance.where.place?.[2]).toBeCloseTo(0.022, 12);
    expect(clearance.whereSays).toContain("wall");
  });
  test("1.6 mm where 2 mm is asked for: over", () => {
    const clearance = row(facts({ wayIn: [record({ asked: 1.6e-3, askedSeen: 1.6e-3, askedVertebra: 6, askedBody: 0 })] }), "clearance");
    expect(clearance.use).toBeCloseTo(1.25, 12);
    expect(clearance.state).toBe("over");
  });
  test.each([0, -1e-3])("nothing left (%d m): beyond all", (asked) => {
    const clearance = row(facts({ wayIn: [record({ asked, askedSeen: asked, askedVertebra: 6, askedBody: 0 })] }), "clearance");
    expect(clearance.use).toBe(Number.POSITIVE_INFINITY);
    expect(clearance.state).toBe("over");
  });
  test("every solved shape keeps 2 mm but 1.6 mm is all that is guaranteed between them: not known", () => {
    const clearance = row(facts({ wayIn: [record({ asked: 1.6e-3, askedSeen: 2.2e-3, askedVertebra: 6, askedBody: 0 })] }), "clearance");
    expect(clearance.state).toBe("unknown");
    expect(clearance.note).toContain("2.2 mm");
  });
  test("too near where the arm did not come to rest on its route: not known", () => {
    const rough = record({ asked: 1.6e-3, askedSeen: 1.6e-3, askedVertebra: 6, askedBody: 0, settled: false });
    expect(row(facts({ wayIn: [rough] }), "clearance").state).toBe("unknown");
  });
  test("the tightest depth counts, whichever way", () => {
    const near = (depth: number, asked: number) => record({ depth, asked, askedVertebra: 5, askedBody: 0 });
    const made = facts({ wayIn: [near(0.05, 9e-3), near(0.06, 4e-3), near(0.072, 6e-3)], wayOut: [near(0.06, 5e-3)] });
    expect(row(made, "clearance").where).toMatchObject({ way: "in", depth: 0.06 });
    expect(row(made, "clearance").use).toBeCloseTo(0.5, 12);
  });
  test("nothing that asks for clearance: nothing used, no body named", () => {
    const clearance = row(facts({ need: Float64Array.of(0) }), "clearance");
    expect([clearance.demand, clearance.use, clearance.state]).toEqual([0, 0, "ok"]);
    expect(clearance.where.body).toBeUndefined();
  });
});

describe("touch rules", () => {
  const beside = (kind: "free" | "light" | "never", swept: number) => {
    const touch = kind === "never" ? { kind, standOff: 4e-3 } : kind === "light" ? { kind, force: 2 } : { kind };
    const at = record({ swept: one(arm.spans + 1, 5, swept, 0.08), seenSpare: swept, sweptNearest: new Int32Array(arm.spans + 1).fill(0) });
    return row(facts({ bodies: [body("block", touch)], need: Float64Array.of(0), wayIn: [at] }), "touch");
  };
  test("a stand-off of 4 mm and 1 mm beyond it: 4 of 5 mm", () => {
    const touch = beside("never", 1e-3);
    expect(touch.demand).toBe(4e-3);
    expect(touch.limit).toBeCloseTo(5e-3, 12);
    expect(touch.use).toBeCloseTo(0.8, 12);
    expect(touch.where).toMatchObject({ vertebra: 5, body: 0 });
  });
  test("1 mm into the stand-off, 3 mm from the surface: over by a third", () => {
    const touch = beside("never", -1e-3);
    expect(touch.use).toBeCloseTo(4 / 3, 12);
    expect(touch.state).toBe("over");
  });
  test("a body that is free to touch may be brushed between shapes that touch nothing; of one for a light touch that is not enough", () => {
    for (const kind of ["free", "light"] as const) expect(beside(kind, 0.1e-3).use).toBe(0);
    for (const swept of [0, -1e-3]) {
      expect([beside("free", swept).use, beside("free", swept).state]).toEqual([0, "ok"]);
      expect(beside("light", swept).state).toBe("unknown");
    }
  });

  const leaning = (touch: Body["touch"], state: "held" | "jammed" | "not-found", pressed: number) => {
    const contact = {
      state,
      pressed: Float64Array.of(pressed),
      vertebra: Int32Array.of(5),
      body: Int32Array.of(0),
      force: Float64Array.of(0, 0, pressed),
      place: Float64Array.of(0.01, 0, 0.05),
    };
    const swept = one(arm.spans + 1, 5, -0.2e-3, 0.08);
    const at = record({ swept, seenSpare: -0.1e-3, sweptNearest: new Int32Array(arm.spans + 1).fill(0), contact });
    return facts({ bodies: [body("block", touch)], need: Float64Array.of(0), wayIn: [record(), at] });
  };
  test.each([
    [{ kind: "light", force: 2 } as const, 1.5, 0.75, "ok"],
    [{ kind: "light", force: 2 } as const, 1.9, 0.95, "warning"],
    [{ kind: "light", force: 2 } as const, 2.5, 1.25, "over"],
    [{ kind: "free" } as const, 250, 0, "ok"],
  ])("leant on, %o with %d N: its force over what it may take", (touch, force, use, state) => {
    const made = leaning(touch, "held", force);
    expect(row(made, "touch").state).toBe("ok");
    const found = row(made, "touch-force");
    expect([found.demand, found.state, found.unit]).toEqual([force, state, "N"]);
    expect(found.use).toBeCloseTo(use, 12);
    expect(found.where).toMatchObject({ vertebra: 5, body: 0, place: [0.01, 0, 0.05] });
  });
  test("a leaning shape that was not found is unknown, whatever the rule", () => {
    for (const touch of [{ kind: "free" } as const, { kind: "light", force: 2 } as const]) {
      for (const state of ["jammed", "not-found"] as const) {
        const made = leaning(touch, state, 0);
        expect(row(made, "touch").state).toBe("unknown");
        expect(row(made, "touch").whereSays.includes("jams")).toBe(state === "jammed");
        expect(judge(made).rows.some((found) => found.id === "touch-force")).toBe(false);
      }
    }
  });
});

describe("spans and cables: each against its own section's limit", () => {
  test("joint angle: 0.1 rad of 0.2 rad", () => {
    const joint = row(facts({ wayIn: [record({ jointAngle: one(arm.spans, 4, 0.1) })] }), "joint");
    expect([joint.demand, joint.limit]).toEqual([0.1, 0.2]);
    expect(joint.use).toBeCloseTo(0.5, 12);
    expect(joint.where).toMatchObject({ section: 1, vertebra: 5, way: "in" });
  });
  test("a smaller angle in a section that bends less is worse", () => {
    const sections = arm.description.sections.map((s, j) => (j === 0 ? { ...s, jointLimit: 0.05 } : s));
    const made = facts({
      arm: { ...arm, description: { ...arm.description, sections } },
      wayIn: [record({ jointAngle: Float64Array.of(0, 0.04, 0, 0, 0.1, 0) })],
    });
    expect(row(made, "joint").use).toBeCloseTo(0.8, 12);
    expect(row(made, "joint").where.section).toBe(0);
  });
  test("joints past their stops are counted: they lean on them", () => {
    const jointAngle = Float64Array.of(0, 0.201, 0, 0.1, 0.203, 0);
    const joint = row(facts({ wayIn: [record({ jointAngle })] }), "joint");
    expect([joint.state, joint.where.vertebra]).toEqual(["over", 5]);
    expect(joint.note).toContain("2 joints lean on their stops");
  });
  test("rod strain: 3 % of 4 %, its stress told", () => {
    const strain = row(facts({ wayOut: [record({ strain: one(arm.spans, 2, 0.03), stress: one(arm.spans, 2, 1.8e9) })] }), "strain");
    expect(strain.use).toBeCloseTo(0.75, 12);
    expect(strain.where).toMatchObject({ way: "out", section: 0, vertebra: 3 });
    expect(strain.note).toContain("1.8 GPa");
  });
  test("cable: 31.17 N of 220 N x 0.85 / 3", () => {
    const cable = row(facts({ wayIn: [record({ tension: one(arm.cables, 4, 31.1666666, 8) })] }), "cable-load");
    expect(cable.limit).toBeCloseTo(62.3333333, 6);
    expect(cable.use).toBeCloseTo(0.5, 6);
    expect(cable.where).toMatchObject({ section: 1, cable: 4 });
  });
});

describe("what the load does", () => {
  test("sag at the deepest depth: 15 mm of 20 mm", () => {
    expect(row(facts({ wayIn: [record({ depth: 0.06, sag: 0.019 }), record({ sag: 0.015 })] }), "sag").use).toBeCloseTo(0.75, 12);
  });
  test("a sag that was not found is unknown, not small", () => {
    expect(row(facts({ wayIn: [record({ sag: Number.NaN })] }), "sag").state).toBe("unknown");
  });
  test("twist counts either way round: -0.2 rad of 0.25 rad", () => {
    const twist = row(facts({ wayOut: [record({ twist: one(arm.spans + 1, arm.spans, -0.2) })] }), "twist");
    expect([twist.demand, twist.where.way]).toEqual([0.2, "out"]);
    expect(twist.use).toBeCloseTo(0.8, 12);
  });
  test("slack: 8 N of pretension, 2 N left", () => {
    const slack = row(facts({ slack: { least: 2, cable: 4, roll: Math.PI / 2 } }), "slack");
    expect([slack.demand, slack.limit]).toEqual([6, 8]);
    expect(slack.use).toBeCloseTo(0.75, 12);
    expect(slack.whereSays).toContain("cable 5 (section 2), arm rolled by 90 deg");
  });
  test("slack that was not found, or not looked for, is unknown", () => {
    expect(row(facts({ slack: { least: Number.NaN, cable: 0, roll: 0 } }), "slack").state).toBe("unknown");
    expect(row(facts({ slack: undefined }), "slack").state).toBe("unknown");
  });
  test("no pretension at all is over, not nothing over nothing", () => {
    const loose = { ...arm, pretension: new Float64Array(arm.cables) };
    expect(row(facts({ arm: loose, slack: { least: 0, cable: 0, roll: 0 } }), "slack").use).toBe(Number.POSITIVE_INFINITY);
  });
});

describe("tip pose: what is missing sideways, along and in angle, as lengths at the place", () => {
  const pose = (change: object) => row(facts({ target: { ...facts().target, ...change } }), "pose");
  test("within stand-off and cone: nothing", () => {
    expect(pose({}).demand).toBeCloseTo(0, 12);
  });
  test("3 mm aside", () => {
    expect(pose({ place: [3e-3, 0, 0.112] }).demand).toBeCloseTo(3e-3, 12);
  });
  test("40 mm before the place where 43 to 50 mm are wanted, and where 30 to 36 mm are", () => {
    expect(pose({ standOff: [0.043, 0.05] }).demand).toBeCloseTo(3e-3, 12);
    expect(pose({ standOff: [0.03, 0.036] }).demand).toBeCloseTo(4e-3, 12);
  });
  test("past the place by 2 mm where 30 mm before it are wanted: 32 mm missing", () => {
    expect(pose({ place: [0, 0, 0.07] }).demand).toBeCloseTo(0.032, 12);
  });
  test("aim 0.3 rad off with a cone of 0.1 rad, 40 mm away: 8 mm at the place", () => {
    const tilted = pose({ direction: [Math.sin(0.3), 0, Math.cos(0.3)] });
    expect(tilted.demand).toBeCloseTo(8e-3, 12);
    expect(tilted.state).toBe("over");
    expect(tilted.whereSays).toContain("17.2 deg");
  });
  test("all three together add as squares: 3, 4 and 8 mm", () => {
    const all = pose({ place: [3e-3, 0, 0.112], standOff: [0.03, 0.036], direction: [Math.sin(0.3), 0, Math.cos(0.3)] });
    expect(all.demand).toBeCloseTo(Math.sqrt(9 + 16 + 64) * 1e-3, 12);
    expect(all.use).toBeCloseTo(all.demand / 5e-3, 12);
  });
});

describe("what is loose: all one way, in every margin of place", () => {
  const loose = {
    hull: new Float64Array(arm.spans + 1).fill(0.7e-3),
    tip: Float64Array.of(1e-3, 2e-3, 0.5e-3),
    aim: Float64Array.of(0.01, 0, 0.02),
    twist: 0.05,
  };
  test("pose: 1, 2 and 0.5 mm more; an aim 0.09 rad off with a cone of 0.1 rad is 0.12 off, 0.02 x 40 mm = 0.8 mm at the place", () => {
    expect(row(facts({ wayIn: [record({ loose })] }), "pose").demand).toBeCloseTo(3.5e-3, 9);
    const target = { ...facts().target, direction: [Math.sin(0.09), 0, Math.cos(0.09)] as const };
    expect(row(facts({ target, wayIn: [record({ loose })] }), "pose").demand).toBeCloseTo(4.3e-3, 9);
  });
  test("sag: joints and guide let go as the load does, the port stays: 15 and 3 mm of 20 mm", () => {
    const sag = row(facts({ wayIn: [record({ sag: 0.015, loose })] }), "sag");
    expect(sag.use).toBeCloseTo(0.9, 12);
    expect(sag.note).toContain("3 mm of it for play of the joints and play in the guide");
  });
  test("twist: -0.15 rad and 0.05 rad of 0.25 rad", () => {
    const twist = new Float64Array(arm.spans + 1).fill(-0.15);
    expect(row(facts({ wayIn: [record({ twist, loose })] }), "twist").use).toBeCloseTo(0.8, 12);
  });
  test("clearance says how much of it was taken off", () => {
    const made = record({ loose, asked: 2.5e-3, askedVertebra: 4, askedBody: 0 });
    expect(row(facts({ wayIn: [made] }), "clearance").note).toContain(
      "0.7 mm for play of the joints and play in the guide and the port's tolerance",
    );
  });
});

describe("roll", () => {
  const at = (roll: number) => record({ roll });
  test("without a limit there is no row; 0.9 of 1.5 turns on the way out, either way round", () => {
    expect(judge(facts()).rows.some((r) => r.id === "roll")).toBe(false);
    const turns = row(facts({ roll: { carries: "pack", mostTurns: 1.5 }, wayIn: [at(1), at(-2)], wayOut: [at(-1.8 * Math.PI)] }), "roll");
    expect(turns.use).toBeCloseTo(0.6, 12);
    expect([turns.where.way, turns.title]).toEqual(["out", "Turns of the umbilical"]);
  });
  test("cables that wind say what they do", () => {
    const wound = { longest: 2.3e-3, moment: 0.042, locked: 31 };
    const turns = row(
      facts({ roll: { carries: "cables", windingLength: 0.3, mostTurns: 0.5 }, wayIn: [record({ roll: 4, wound })] }),
      "roll",
    );
    expect(turns.state).toBe("over");
    expect(turns.note).toMatch(/2\.3 mm.*31 N.*0\.042 N m/);
  });
});

test("way out: a quarter of a millimetre between the shapes is half of what counts as the same", () => {
  const way = row(facts({ branchGap: { shape: 0.25e-3, tension: 1, depth: 0.05, explained: 0 } }), "way-out");
  expect(way.use).toBeCloseTo(0.5, 12);
  expect(way.where).toMatchObject({ way: "out", depth: 0.05 });
  expect(row(facts({ branchGap: { shape: 0.6e-3, tension: 1, depth: 0.05, explained: 0 } }), "way-out").state).toBe("over");
});

test("worst first; what is beyond all, then what is unknown, before every number", () => {
  const made = facts({
    wayIn: [record({ sag: Number.NaN, jointAngle: one(arm.spans, 3, 0.19), asked: -1e-3, askedVertebra: 3, askedBody: 0 })],
    slack: { least: 2, cable: 0, roll: 0 },
  });
  // joint 0.95, reach 0.8, slack 0.75, cable 8 / 62.33 = 0.13
  expect(
    judge(made)
      .rows.map((r) => r.id)
      .slice(0, 6),
  ).toEqual(["clearance", "sag", "joint", "reach", "slack", "cable-load"]);
});

test("a use above four fifths is a warning, above one is over, one itself is not", () => {
  const state = (angle: number) => row(facts({ wayIn: [record({ jointAngle: one(arm.spans, 3, angle) })] }), "joint").state;
  expect([0.159, 0.161, 0.2, 0.2001].map(state)).toEqual(["ok", "warning", "warning", "over"]);
});

test("gains go to the row they were found for", () => {
  const gain = { says: "rods a tenth thinner: 50 % to 40 % of the limit", from: "estimated" as const };
  expect(row(facts({ gains: { joint: [gain] } }), "joint").gains).toEqual([gain]);
  expect(row(facts({ gains: { joint: [gain] } }), "sag").gains).toEqual([]);
});

describe("temperature", () => {
  const temperature = { setUp: 293.15, arm: [283.15, 333.15], conduit: [293.15, 293.15] } as const;
  const hot = { arm: 40, conduit: 0, creep: false };
  const warm = {
    cable: { use: 0.9, tension: 0.9 * 62.333, cable: 4, depth: 0.072, at: hot },
    strain: { use: 0.5, strain: 0.02, stress: 5e8, span: 3, depth: 0.072, at: hot },
    line: { use: 0, strain: 0, limit: Number.POSITIVE_INFINITY, span: 0, depth: 0, at: hot },
    shift: { size: 3e-3, depth: 0.072, at: hot },
    lost: 0,
  };

  test("cable load and strain take the worst end, which is named with its place", () => {
    const made = facts({ temperature, warm });
    expect(row(made, "cable-load")).toMatchObject({ use: 0.9, state: "warning", where: { section: 1, cable: 4 } });
    expect(row(made, "cable-load").whereSays).toContain("at 60 degC, conduits at 20 degC");
    expect(row(made, "strain")).toMatchObject({ demand: 0.02, use: 0.5, state: "ok" });
    expect(row(made, "strain").whereSays).toContain("joint 4 in section 2, at 60 degC");
    const answer = judge(made);
    expect(answer.assumptions.join(" ")).toContain("Set up at 20 degC, used from 10 degC to 60 degC");
    expect(answer.assumptions.join(" ")).toContain("moves the tool point by up to 3 mm");
    expect(answer.notChecked.join(" ")).not.toContain("temperature");
  });

  test("the arm as set up stays the worst where it is", () => {
    const made = facts({ temperature, warm, wayIn: [record({ tension: one(arm.cables, 2, 60, 8) })] });
    expect(row(made, "cable-load")).toMatchObject({ demand: 60, where: { cable: 2 } });
    expect(row(made, "cable-load").whereSays).not.toContain("degC");
  });

  test("an end at which no balance was found leaves both unknown", () => {
    const made = facts({ temperature, warm: { ...warm, lost: 1 } });
    expect([row(made, "cable-load").state, row(made, "strain").state]).toEqual(["unknown", "unknown"]);
  });

  test("slack says at which end, and that the cables have crept", () => {
    const slack = { least: -0, cable: 1, roll: 0, at: { ...hot, creep: true } };
    expect(row(facts({ temperature, slack }), "slack").whereSays).toContain("at 60 degC, conduits at 20 degC, cables crept");
  });

  test("a job that says nothing is told so", () => {
    expect(judge(facts()).notChecked.join(" ")).toContain("temperature");
  });

  test("a rod past the end of its straight line: a warning with both strains, and a condition", () => {
    const made = facts();
    const bent = (linearStrain: number) => {
      const { description } = made.arm;
      const sections = description.sections.map((s) => ({
        ...s,
        rods: s.rods.map((r) => ({ ...r, material: { ...r.material, linearStrain } })),
      }));
      return facts({
        arm: { ...made.arm, description: { ...description, sections } },
        wayIn: [record({ strain: one(arm.spans, 1, 0.01) })],
      });
    };
    expect(row(bent(0.008), "strain")).toMatchObject({ use: 0.25, state: "warning" });
    expect(row(bent(0.008), "strain").note).toContain("1.00 % where it ends at 0.80 %");
    expect(judge(bent(0.008)).conditions.join(" ")).toContain(
      "Rod strain 1.00 % leaves the straight line of nitinol, which ends at 0.80 %",
    );
    expect(row(bent(0.011), "strain").state).toBe("ok");
  });
});

describe("the arm on its drum", () => {
  const worst = (value: number, limit: number, span: number) => ({ value, limit, use: value / limit, span });
  const pull = (cable: number, most: number) => ({
    status: "stable" as const,
    entry: new Float64Array(arm.cables),
    drive: new Float64Array(arm.cables),
    cable,
    use: most / 62.333,
    most,
    least: 8,
  });
  const drumRow = (spans: number, joint: number, strain: number, winding: number, paying?: number) => ({
    spans,
    paidOut: 0.09 - 0.01 * spans,
    turns: 0.1,
    wrap: 0.6,
    joint: worst(joint, 0.2, 1),
    strain: worst(strain, 0.04, 4),
    line: worst(strain, Number.POSITIVE_INFINITY, 4),
    bend: new Float64Array(4),
    winding: pull(1, winding),
    paying: paying === undefined ? undefined : pull(5, paying),
    capstan: { cable: 5, turned: 0.6, factor: 1, most: 1 },
    gap: 0,
    press: 0,
    anchor: [0.8, 0.9] as const,
    slide: [0, 0] as const,
    lift: 6,
  });
  const drum = {
    bentBy: "sections" as const,
    roll: 0,
    rows: [drumRow(3, 0.1, 0.01, 20, 50), drumRow(6, 0.12, 0.012, 40)],
    hang: undefined,
    width: 0.02,
    diameter: 0.33,
    longest: undefined,
    faults: [],
  };

  test("no rows without a drum; joint, strain and cable take the worst row, either way", () => {
    expect(judge(facts()).rows.some((one) => one.id.startsWith("drum"))).toBe(false);
    const made = facts({ drum });
    expect(row(made, "drum-joint")).toMatchObject({ demand: 0.12, limit: 0.2, where: { section: 0, vertebra: 2 } });
    expect(row(made, "drum-joint").use).toBeCloseTo(0.6, 12);
    expect(row(made, "drum-strain").use).toBeCloseTo(0.3, 12);
    expect(row(made, "drum-cable")).toMatchObject({ demand: 50, where: { cable: 5, section: 1 } });
    expect(row(made, "drum-cable").whereSays).toContain("paid out, cable 6 (section 2), 60 mm paid out");
    expect(judge(made).assumptions.join(" ")).toContain("On its drum the arm lies on the core");
  });

  test("a joint past its stop on the drum is no go; what no row tells is a condition; a lost balance leaves the rows unknown", () => {
    expect(judge(facts({ drum: { ...drum, rows: [drumRow(6, 0.25, 0.01, 20)] } })).answer).toBe("no go");
    const lies = { kind: "lies" as const, says: "The last turn does not lie." };
    expect(judge(facts({ drum: { ...drum, faults: [lies] } })).conditions).toContain("The drum: The last turn does not lie.");
    const lost = { kind: "balance" as const, says: "no balance was found." };
    expect(row(facts({ drum: { ...drum, faults: [lost] } }), "drum-joint").state).toBe("unknown");
  });
});
