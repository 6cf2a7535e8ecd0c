/** The same arm with another backbone: one rod where there were more, two where there was one. All else stays as it is. */
import { type ArmDescription, checkArm, type Rod, rodSection, type Section } from "../arm/index.ts";

/**
 * `given`: as it is. `one-rod`: a rod of the same material and diameter on the axis. `one-stiff-rod`: a rod of the same material on the
 * axis, so thick that the section bends as before. `twin`: two rods of the same material and diameter, as far apart as the
 * cross-section lets them be, turned by 90 degrees from vertebra to vertebra.
 */
export type BackboneKind = "given" | "one-rod" | "one-stiff-rod" | "twin";

export interface Backbone {
  readonly kind: BackboneKind;
  readonly description: ArmDescription;
  /** a rod on the axis takes the place of the working channel */
  readonly losesChannel: boolean;
}

/** As given first, then every other backbone that is one and fits into the vertebrae. @param description must have no faults */
export function listBackbones(description: ArmDescription): Backbone[] {
  const backbones: Backbone[] = [{ kind: "given", description, losesChannel: false }];
  const several = description.sections.filter((section) => section.rods.length > 1);
  if (several.length > 0) {
    const losesChannel = several.some((section) => section.channelDiameter > 0);
    for (const kind of ["one-rod", "one-stiff-rod"] as const) {
      const sections = description.sections.map((section) => (section.rods.length > 1 ? withOneRod(section, kind) : section));
      backbones.push({ kind, description: { ...description, sections }, losesChannel });
    }
  }
  if (several.length < description.sections.length) {
    const twin = withTwins(description);
    if (twin !== undefined) backbones.push({ kind: "twin", description: twin, losesChannel: false });
  }
  return backbones.filter(({ description: changed }) => checkArm(changed).length === 0);
}

function withOneRod(section: Section, kind: "one-rod" | "one-stiff-rod"): Section {
  const like = (section.rods.find((rod) => rod.attachment === "clamped") ?? section.rods[0]) as Rod;
  const diameter = kind === "one-rod" ? like.diameter : ((64 * meanBending(section)) / (Math.PI * like.material.youngModulus)) ** (1 / 4);
  return { ...section, channelDiameter: 0, alternating: false, rods: [{ ...like, x: 0, y: 0, diameter, attachment: "clamped" }] };
}

/** Bending stiffness of the rods over both ways of a hinge, N m^2: hinges that give one way and then the other are springs in series. */
function meanBending(section: Section): number {
  let [x, y] = [0, 0];
  for (const rod of section.rods) {
    const { ei, ea } = rodSection(rod);
    const pull = rod.attachment === "clamped" ? ea : 0;
    x += ei + pull * rod.y ** 2;
    y += ei + pull * rod.x ** 2;
  }
  return (2 * x * y) / (x + y);
}

/** Steps in which places for the pair are tried: m and rad. */
const aside = 1e-4;
const around = Math.PI / 36;

function withTwins(description: ArmDescription): ArmDescription | undefined {
  const sections = [...description.sections];
  for (const [j, section] of description.sections.entries()) {
    if (section.rods.length > 1) continue;
    const found = placePair(description, j);
    if (found === undefined) return undefined;
    sections[j] = found;
  }
  return { ...description, sections };
}

/** The widest pair that leaves webs to cables, channel and rim. */
function placePair(description: ArmDescription, j: number): Section | undefined {
  const section = description.sections[j] as Section;
  const [rod] = section.rods as readonly [Rod];
  for (let rho = section.outerDiameter / 2 - rod.diameter / 2; rho > rod.diameter / 2; rho -= aside) {
    for (let k = 0; k < 18; k++) {
      const [x, y] = [rho * Math.cos(k * around), rho * Math.sin(k * around)];
      const pair: Section = {
        ...section,
        alternating: true,
        rods: [
          { ...rod, x, y },
          { ...rod, x: -x, y: -y },
        ],
      };
      // the section's own web check looks at the cables that run through to the sections beyond
      const trial = { ...description, sections: description.sections.map((s, n) => (n === j ? pair : s)) };
      if (!checkArm(trial).some(({ path }) => path.startsWith(`sections[${j}]`))) return pair;
    }
  }
  return undefined;
}
