/** The maps of the Arm room as the worker draws them: against the command line, against symmetry, cancelled, refused. */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import type { CapacityAnswer } from "../../apps/cli/describe-capacity.ts";
import type { ArmAsk, MapId, MapNews } from "../../apps/worker/index.ts";
import { runMaps } from "../../apps/worker/run-maps.ts";
import { InputError } from "../../src/base/index.ts";
import { loadArm } from "../../src/job/index.ts";
import { call } from "../cli/call.ts";

const path = fileURLToPath(new URL("../browser/duct/arm.yaml", import.meta.url));

function askOf(more: Partial<ArmAsk> = {}): ArmAsk {
  const loaded = loadArm("arm.yaml", new Map([["arm.yaml", new Uint8Array(readFileSync(path))]]));
  if (loaded.kind !== "arm") throw new Error("the arm needs more files than its own");
  return {
    arm: loaded.arm,
    gravity: [0, 0, -9.80665],
    portCentre: [0, 0, 0],
    portAxis: [0, 0, -1],
    lies: "level",
    lockedAt: "carrying",
    load: "down",
    sag: "",
    pull: "",
    ...more,
  };
}

async function draw<Id extends MapId>(map: Id, more: Partial<ArmAsk> = {}): Promise<{ all: MapNews<Id>[]; last: MapNews<Id> }> {
  const all: MapNews<Id>[] = [];
  await runMaps(askOf(more), [map], {
    now: () => performance.now(),
    isCancelled: () => false,
    report: (one) => all.push(one as MapNews<Id>),
  });
  return { all, last: all.at(-1) as MapNews<Id> };
}

async function onTheCommandLine(...options: string[]): Promise<CapacityAnswer> {
  return JSON.parse((await call(["capacity", path, ...options, "--json"])).out) as CapacityAnswer;
}

describe("payload by direction", () => {
  it("is what the command line says of the six directions it knows", async () => {
    const { last } = await draw("direction");
    const answer = await onTheCommandLine("--out-length", `${last.frame.length} m`);
    const angles = { down: 0, left: Math.PI / 2, up: Math.PI, right: 1.5 * Math.PI } as const;
    expect(answer.points.map((one) => one.direction)).toEqual(["down", "up", "left", "right", "outwards", "inwards"]);
    for (const one of answer.points) {
      const angle = angles[one.direction as keyof typeof angles];
      const here = last.points.find((point) => (angle === undefined ? point.way === one.direction : Math.abs(point.at - angle) < 1e-9));
      expect(here?.load).toBeCloseTo(one.payloadN, 9);
      expect(here?.end).toBe(one.endsAt);
      expect(here?.place?.section ?? null).toBe(one.section);
    }
  });

  it("comes bit by bit, the far apart ones first, each news with all points so far", async () => {
    const { all, last } = await draw("direction");
    expect(last.points.length).toBe(18);
    expect(last.done).toBe(true);
    expect(all.slice(0, -1).every((one) => !one.done)).toBe(true);
    const counts = all.map((one) => one.points.length);
    expect([...counts].sort((a, b) => a - b)).toEqual(counts);
    const angles = last.points.map((point) => point.at).filter((angle) => !Number.isNaN(angle));
    expect([...angles].sort((a, b) => a - b)).toEqual(angles);
  });
});

describe("a single backbone with four cables hanging straight down", () => {
  it("carries alike along its four cables: turned by 90 degrees it is the same arm", async () => {
    const { arm } = askOf();
    const single = {
      ...arm,
      sections: [
        {
          ...arm.sections[0]!,
          channelDiameter: 0,
          alternating: false,
          rods: [{ ...arm.sections[0]!.rods[0]!, x: 0, y: 0 }],
          hoses: [],
          cableAngles: [0, 1, 2, 3].map((k) => (k * Math.PI) / 2),
        },
      ],
      tool: { ...arm.tool, centre: [0, 0, arm.tool.centre[2]] as const },
    };
    const { last } = await draw("direction", { arm: single, lies: "hanging" });
    expect(last.frame.names).toEqual(["y", "\u2212x", "\u2212y", "x"]);
    const at = (quarter: number) => last.points.find((point) => Math.abs(point.at - (quarter * Math.PI) / 2) < 1e-9);
    expect(at(0)?.found).toBe(true);
    // found to a thousandth each
    for (const quarter of [1, 2, 3]) expect(Math.abs((at(quarter)?.load as number) / (at(0)?.load as number) - 1)).toBeLessThan(2e-3);
  });
});

describe("where the arm comes to rest", () => {
  it("sags more the further it is out, and by its weight downwards", async () => {
    const { last } = await draw("rest");
    expect(last.points.every((point) => point.status === "stable" || point.status === "slack")).toBe(true);
    const moved = last.points.map((point) => point.moved);
    expect([...moved].sort((a, b) => a - b)).toEqual(moved);
    for (const point of last.points) {
      expect(point.drop).toBeGreaterThan(0);
      expect(point.drop).toBeLessThanOrEqual(point.moved * (1 + 1e-12));
    }
  });

  it("without gravity it stays where it is", async () => {
    const { last } = await draw("rest", { gravity: [0, 0, 0] });
    for (const point of last.points) expect(point.moved).toBeLessThan(1e-9);
  });
});

describe("the other maps", () => {
  it("swing slower the further it is out; a broken cable each, then the power lost", async () => {
    const swing = (await draw("swing")).last.points.map((point) => point.frequency);
    expect(swing.every(Number.isFinite)).toBe(true);
    expect([...swing].sort((a, b) => b - a)).toEqual(swing);
    const broken = (await draw("broken")).last.points;
    expect(broken.map((one) => one.kind)).toEqual([...Array<string>(9).fill("broken"), "locked", "released"]);
    expect(broken.slice(0, 9).map((one) => [one.section, one.cable])).toEqual(
      [1, 2, 3].flatMap((s) => [0, 1, 2].map((c) => [s, 3 * s - 3 + c])),
    );
  });

  it("pretension: the arm's own is among the points, whose payload is that of the map by length with all of it out", async () => {
    const byPull = (await draw("pretension")).last;
    const byLength = (await draw("length")).last;
    const own = byPull.points.find((point) => point.at === byPull.frame.pretension);
    expect(own?.load).toBe(byLength.points.at(-1)?.load);
    expect(byLength.points.at(-1)?.at).toBe(byLength.frame.length);
  });
});

describe("one backbone against two", () => {
  it("rows as compareBackbones gives them; the arm as it is sags as the map of its rest says", async () => {
    const pull = "0.5 N";
    const { last } = await draw("backbones", { pull, load: "left" });
    const rest = (await draw("rest", { pull, load: "left" })).last;
    expect(last.frame.losesChannel).toBe(true);
    expect(last.points.length).toBe(rest.points.length);
    last.points.forEach((point, k) => {
      expect(point.rows.map((row) => row.kind)).toEqual(["given", "one-rod", "one-stiff-rod"]);
      expect(point.at).toBe(rest.points[k]?.at);
      expect(point.rows[0]?.sag).toBe(rest.points[k]?.moved);
    });
    // one rod as thick has half the rods to bend: it sags more, where it stands at all
    const stand = last.points.filter((point) => point.rows[1]?.status === "stable" || point.rows[1]?.status === "slack");
    expect(stand.length).toBeGreaterThan(3);
    for (const point of stand) expect(point.rows[1]?.sag).toBeGreaterThan(point.rows[0]?.sag as number);
  });

  it("a load aside moves the tool point further than none, and one that pushes is refused", async () => {
    const bare = (await draw("rest")).last.points.at(-1);
    const loaded = (await draw("rest", { pull: "0.5 N" })).last.points.at(-1);
    expect(loaded?.moved).toBeGreaterThan(bare?.moved as number);
    const refused = await draw("rest", { pull: "-1 N" }).catch((error: unknown) => error);
    expect((refused as InputError).faults[0]?.path).toBe("pull");
  });
});

describe("in a fluid", () => {
  it("an arm of the fluid's own density does not sag by its weight; the surface of a job is not near an arm that lies nowhere", async () => {
    const { arm } = askOf();
    const density = 1400;
    const floating = {
      ...arm,
      tool: { ...arm.tool, density, mass: 0.02 },
    };
    const air = (await draw("rest", { arm: floating })).last.points.at(-1);
    const surface = { at: [0, 0, -5], up: [0, 0, 1] } as const;
    const wet = (await draw("rest", { arm: floating, fluid: { density, surface } })).last.points.at(-1);
    // vertebrae and tool float; rods, cables and leads are denser and still hang
    expect(wet?.moved).toBeLessThan(0.5 * (air?.moved as number));
    expect(wet?.moved).toBeGreaterThan(0);
  });
});

describe("an arm that lies as planned", () => {
  // along the world's x, its own x to the left and its own y upwards, as a level arm stands
  const frame = Float64Array.of(0, 0, 1, 1, 0, 0, 0, 1, 0, 0, 0, 0);
  const { arm } = askOf();
  const whole = arm.sections.reduce((sum, section) => sum + section.spans * section.pitch, arm.tool.length);

  it("without a bend and pointing level is the level arm", async () => {
    const poses = [0.25, 0.5, 0.75, 1].map((share) => ({ base: frame, tip: frame, bend: new Float64Array(6), depth: share * whole }));
    const planned = (await draw("rest", { lies: "planned", poses })).last;
    expect(planned.points.map((point) => point.at / whole)).toEqual([0.25, 0.5, 0.75, 1].map((share) => expect.closeTo(share, 9)));
    const level = (await draw("rest")).last;
    for (const point of planned.points) {
      const same = level.points.find((one) => Math.abs(one.at - point.at) < 1e-9);
      expect(point.moved).toBeCloseTo(same?.moved as number, 12);
      expect(point.twist).toBeCloseTo(same?.twist as number, 12);
    }
    expect(planned.frame.length).toBeCloseTo(whole, 12);
  });

  it("that has other sections than the plan's, or no plan, is refused in words", async () => {
    const poses = [{ base: frame, tip: frame, bend: new Float64Array(8), depth: whole }];
    const other = await draw("rest", { lies: "planned", poses }).catch((error: unknown) => error);
    expect((other as InputError).faults[0]).toMatchObject({
      path: "lies",
      problem: "has 3 sections, and the plan is that of an arm with 4.",
    });
    const none = await draw("rest", { lies: "planned" }).catch((error: unknown) => error);
    expect((none as InputError).faults[0]?.problem).toContain("there is no plan");
  });
});

describe("a question", () => {
  it("with an arm that cannot be, and a way that is no length, are refused with their paths", async () => {
    const { arm } = askOf();
    const bad = { ...arm, sections: arm.sections.map((section) => ({ ...section, pretension: -4 })) };
    const faults = await draw("length", { arm: bad }).catch((error: InputError) => error.faults);
    expect((faults as InputError["faults"]).map((fault) => fault.path)).toContain("sections[0].pretension");
    for (const sag of ["20", "-3 mm", "far"]) {
      const refused = await draw("length", { sag }).catch((error: unknown) => error);
      expect(refused).toBeInstanceOf(InputError);
      expect((refused as InputError).faults[0]?.path).toBe("sag");
    }
  });

  it("that is cancelled ends at its next pause", async () => {
    let reports = 0;
    const ended = await runMaps(askOf(), ["direction", "length"], {
      now: () => performance.now(),
      isCancelled: () => reports > 0,
      report: () => {
        reports++;
      },
    });
    expect(ended).toBe(false);
    expect(reports).toBe(1);
  });
});

describe("a stalled drive", () => {
  it("is what the command line says of the same section sent the same way, and leaves all else out", async () => {
    const { last } = await draw("stalled", { sent: { section: 2, by: "15 deg", way: "down" } });
    const answer = await onTheCommandLine(
      "--out-length",
      `${last.frame.length} m`,
      "--broken",
      "--sent",
      `3=15 deg@${(-last.frame.turn * 180) / Math.PI} deg`,
    );
    const told = answer.faults?.cases.filter((one) => one.what === "stalled") ?? [];
    expect(told.length).toBe(9);
    expect(last.points.map((one) => one.kind)).toEqual(Array<string>(9).fill("stalled"));
    told.forEach((one, k) => {
      const point = last.points[k];
      expect(point?.stall?.astray).toBeCloseTo(one.stall?.astrayM ?? Number.NaN, 9);
    });
  });

  it("refuses a section that is sent nowhere", async () => {
    await expect(draw("stalled", { sent: { section: 2, by: "0 deg", way: "down" } })).rejects.toThrow(InputError);
  });
});
