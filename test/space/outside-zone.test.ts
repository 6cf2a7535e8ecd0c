import fc from "fast-check";
import { expect, test } from "vitest";
import { outsideZone, type Zone } from "../../src/space/index.ts";
import { ask, bodyOf, placed } from "./bodies.ts";

const placement = placed(0.4, -1, 2, [0.1, 0, -0.2]);
const shapes: readonly Zone["shape"][] = [
  { kind: "box", size: [0.2, 0.1, 0.3] },
  { kind: "cylinder", radius: 0.08, length: 0.3 },
  { kind: "sphere", radius: 0.12 },
];

test("a zone is as far as the surface of a body of its shape, from within below 0: 300 places, seed 36", () => {
  const coordinate = fc.double({ min: -0.5, max: 0.5, noNaN: true });
  fc.assert(
    fc.property(fc.constantFrom(...shapes), coordinate, coordinate, coordinate, (shape, x, y, z) => {
      const away = outsideZone({ name: "zone", holds: { kind: "hot", temperature: 400 }, shape, placement }, x, y, z);
      expect(Math.abs(away)).toBeCloseTo(ask([bodyOf(shape, placement)], [x, y, z]).distance[0]!, 13);
    }),
    { seed: 36, numRuns: 300 },
  );
  const [x, y, z] = [0, 3, 6].map((k) => placement.at[k / 3]! + 0.01 * placement.rotation[k + 2]!) as [number, number, number];
  for (const shape of shapes)
    expect(outsideZone({ name: "zone", holds: { kind: "hot", temperature: 400 }, shape, placement }, x, y, z)).toBeLessThan(0);
});
