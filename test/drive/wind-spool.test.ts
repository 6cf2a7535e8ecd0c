import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { createWinding, drawnByTurns, lengthOfTurns, radiusAt, turnsByDrawn, turnsOfLength } from "../../src/drive/index.ts";

/** Ten turns a layer, first layer at 15 mm, a cable of 1 mm. */
const spool = createWinding({ radius: 15e-3, turnsPerLayer: 10, wound: 0 }, 1e-3);
const circle = (radius: number): number => 2 * Math.PI * radius;

describe("layers on a spool", () => {
  test("by hand, circle by circle: two layers and four turns of the third", () => {
    let length = 0;
    for (let turn = 0; turn < 24; turn++) length += circle(15e-3 + 1e-3 * Math.floor(turn / 10));
    expect(lengthOfTurns(spool, 24)).toBeCloseTo(length, 14);
    // 10 x 2 pi (15 + 16) mm + 4 x 2 pi 17 mm
    expect(lengthOfTurns(spool, 24)).toBeCloseTo(2 * Math.PI * (0.31 + 0.068), 14);
    expect([9.99, 10, 19.99, 20].map((turns) => radiusAt(spool, turns))).toEqual([15e-3, 16e-3, 16e-3, 17e-3]);
  });

  test("one layer: 2 pi r a turn, either way", () => {
    const plain = createWinding({ radius: 12e-3 }, 0.6e-3);
    expect(turnsByDrawn(plain, circle(12e-3) * 2.5)).toBeCloseTo(2.5, 12);
    expect(turnsByDrawn(plain, -circle(12e-3) * 1.5)).toBeCloseTo(-1.5, 12);
  });

  test("from a spool that holds turns already, the radius steps where its layers do", () => {
    const wound = createWinding({ radius: 15e-3, turnsPerLayer: 10, wound: 9 }, 1e-3);
    expect(drawnByTurns(wound, 2)).toBeCloseTo(circle(15e-3) + circle(16e-3), 14);
    expect(drawnByTurns(wound, -3)).toBeCloseTo(-3 * circle(15e-3), 14);
  });

  test("length and turns undo each other, and both rise (seed 5)", () => {
    fc.assert(
      fc.property(
        fc.record({
          radius: fc.double({ min: 3e-3, max: 60e-3, noNaN: true }),
          turnsPerLayer: fc.double({ min: 1, max: 30, noNaN: true }),
          layerRise: fc.double({ min: 1e-4, max: 3e-3, noNaN: true }),
        }),
        fc.double({ min: -5, max: 90, noNaN: true }),
        fc.double({ min: 1e-6, max: 20, noNaN: true }),
        (made, turns, more) => {
          const one = createWinding(made, 1e-3);
          expect(turnsOfLength(one, lengthOfTurns(one, turns))).toBeCloseTo(turns, 8);
          expect(lengthOfTurns(one, turns + more)).toBeGreaterThan(lengthOfTurns(one, turns));
        },
      ),
      { seed: 5 },
    );
  });
});
