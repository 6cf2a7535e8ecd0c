/** How the ribbon's clearance lane tells what holds, what is broken, and what neither is shown. Numbers made by hand. */
import { describe, expect, it } from "vitest";
import { listLanes, standsToLimit } from "../../apps/page/ribbon/lanes.ts";
import type { JobPicture } from "../../apps/worker/index.ts";
import type { DepthRecord } from "../../src/insertion/index.ts";

const picture = {
  arm: { cables: [{ workingLoad: 90 }, { workingLoad: 80 }], jointLimit: 0.1 },
  limits: { clearance: 0.002, sag: 0.03, twist: 0.2 },
} as unknown as JobPicture;

const record = {
  asked: 0.005,
  askedBody: 1,
  swept: Float64Array.of(Number.POSITIVE_INFINITY, 0.004),
  sweptSpare: 0.003,
  seenSpare: 0.0035,
  settled: true,
  tension: Float64Array.of(85, 10),
  jointAngle: Float64Array.of(0.02, -0.05),
} as unknown as DepthRecord;

const lane = (id: string, unit: "mm" | "in" = "mm") => {
  const found = listLanes(picture, unit).find((one) => one.id === id);
  if (found === undefined) throw new Error(`no lane ${id}`);
  return found;
};

describe("the clearance lane", () => {
  it("shows what is guaranteed to what must not be touched first, then to anything", () => {
    expect(lane("clearance").lines.map((line) => line.of(record))).toEqual([5, 4]);
    expect(lane("clearance", "in").lines[0]?.of(record)).toBeCloseTo(0.19685, 5);
  });

  it("has no number where nothing of the kind is near, and says so", () => {
    expect(lane("clearance").lines[0]?.of({ ...record, askedBody: -1, asked: 0.06 })).toBeNaN();
    expect(lane("clearance").missing).toBe("far");
  });

  it("tells a bound that fails from a shape that fails", () => {
    const stands = (more: Partial<DepthRecord>) => standsToLimit(lane("clearance"), { ...record, ...more });
    expect(stands({})).toBe("holds");
    expect(stands({ sweptSpare: -0.001 })).toBe("open");
    expect(stands({ sweptSpare: -0.001, seenSpare: -0.0005 })).toBe("broken");
    expect(stands({ sweptSpare: -0.001, seenSpare: -0.0005, settled: false })).toBe("open");
  });

  it("is drawn up to where the limit can still be seen", () => {
    // six times the 2 mm that are asked for, or twice the least there is
    expect(lane("clearance").upTo?.([40, 5, 60])).toBe(12);
    expect(lane("clearance").upTo?.([40, 25, 60])).toBe(50);
  });
});

describe("lanes with a limit", () => {
  it("are broken by one line beyond the least limit of all cables", () => {
    expect(lane("tension").limit?.at).toBe(80);
    expect(standsToLimit(lane("tension"), record)).toBe("broken");
    expect(standsToLimit(lane("tension"), { ...record, tension: Float64Array.of(79, 10) })).toBe("holds");
  });

  it("count angles either way", () => {
    expect(lane("joint").lines[0]?.of(record)).toBeCloseTo((0.05 * 180) / Math.PI, 9);
    expect(standsToLimit(lane("joint"), { ...record, jointAngle: Float64Array.of(0, -0.11) })).toBe("broken");
  });
});
