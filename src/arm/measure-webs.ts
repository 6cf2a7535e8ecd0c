/** What is left of a vertebra between its holes, and between each hole and the rim. */
import type { Section } from "./description.ts";

/** A round hole through a vertebra, in its own axes. */
export interface Hole {
  readonly name: string;
  readonly kind: "channel" | "rod" | "cable";
  /** m */
  readonly x: number;
  readonly y: number;
  readonly radius: number;
}

export interface Web {
  /** what it stands between, as `rod 1 and the rim` */
  readonly says: string;
  readonly between: readonly [Hole["kind"], Hole["kind"] | "rim"];
  /** m; negative where the two meet */
  readonly width: number;
  /** [2] its two ends in the cross-section, m */
  readonly from: readonly [number, number];
  readonly to: readonly [number, number];
}

/** Holes for rods, channel and all cables that run through the section. @param sections all of the arm @param j the one that is cut */
export function listHoles(sections: readonly Section[], j: number): Hole[] {
  const section = sections[j] as Section;
  const holes: Hole[] = [];
  if (section.channelDiameter > 0)
    holes.push({ name: "the working channel", kind: "channel", x: 0, y: 0, radius: section.channelDiameter / 2 });
  section.rods.forEach((rod, k) => {
    holes.push({ name: `rod ${k + 1}`, kind: "rod", x: rod.x, y: rod.y, radius: rod.diameter / 2 });
    if (section.alternating) holes.push({ name: `rod ${k + 1}, turned`, kind: "rod", x: -rod.y, y: rod.x, radius: rod.diameter / 2 });
  });
  let cable = sections.slice(0, j).reduce((sum, one) => sum + one.cableAngles.length, 0);
  for (let k = j; k < sections.length; k++) {
    const outer = sections[k] as Section;
    outer.cableAngles.forEach((angle) => {
      cable++;
      holes.push({
        name: `cable ${cable} (section ${k + 1})`,
        kind: "cable",
        x: outer.cableRadius * Math.cos(angle),
        y: outer.cableRadius * Math.sin(angle),
        radius: outer.holeDiameter / 2,
      });
    });
  }
  return holes;
}

/** Every web of the cross-section: of each hole to the rim, then to each hole after it. Rods that turn about their own place leave none. */
export function measureWebs(sections: readonly Section[], j: number): Web[] {
  const holes = listHoles(sections, j);
  const rim = (sections[j] as Section).outerDiameter / 2;
  const webs: Web[] = [];
  holes.forEach((one, a) => {
    const r = Math.hypot(one.x, one.y);
    const [ux, uy] = r > 0 ? [one.x / r, one.y / r] : [1, 0];
    webs.push({
      says: `${one.name} and the rim`,
      between: [one.kind, "rim"],
      width: rim - r - one.radius,
      from: [(r + one.radius) * ux, (r + one.radius) * uy],
      to: [rim * ux, rim * uy],
    });
    for (const two of holes.slice(a + 1)) {
      if (one.x === two.x && one.y === two.y && one.kind === "rod" && two.kind === "rod") continue;
      const apart = Math.hypot(two.x - one.x, two.y - one.y);
      const [vx, vy] = apart > 0 ? [(two.x - one.x) / apart, (two.y - one.y) / apart] : [1, 0];
      webs.push({
        says: `${one.name} and ${two.name}`,
        between: [one.kind, two.kind],
        width: apart - one.radius - two.radius,
        from: [one.x + one.radius * vx, one.y + one.radius * vy],
        to: [two.x - two.radius * vx, two.y - two.radius * vy],
      });
    }
  });
  return webs;
}
