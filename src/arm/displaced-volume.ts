/** What each part of an arm displaces under water: solid volumes. Channel, holes and gaps are flooded and count as water. */
import type { Section, Tool } from "./description.ts";

/** kg/m^3: strands of stainless wire; hoses and leads without a density of their own. @see docs/sources.md#solid-volumes */
const strandDensity = 7900;
const hoseDensity = 1300;

/** Solid disc less channel, rod holes (both places where the rods alternate) and the holes of all cables that run through, m^3. */
export function vertebraVolume(sections: readonly Section[], j: number): number {
  const section = sections[j] as Section;
  let square = section.outerDiameter ** 2 - section.channelDiameter ** 2;
  for (const rod of section.rods) square -= rod.diameter ** 2 * (section.alternating && (rod.x !== 0 || rod.y !== 0) ? 2 : 1);
  for (const outer of sections.slice(j)) square -= outer.cableAngles.length * outer.holeDiameter ** 2;
  return Math.max(0, (Math.PI / 4) * square * (section.pitch - section.flexible));
}

/** Rods, hoses and all cables that run through a section, solid, m^3 a unit length of arm. */
export function volumePerLength(sections: readonly Section[], j: number): number {
  const section = sections[j] as Section;
  let area = 0;
  for (const rod of section.rods) area += (Math.PI * rod.diameter ** 2) / 4;
  for (const hose of section.hoses) area += hose.massPerLength / (hose.density ?? hoseDensity);
  for (const outer of sections.slice(j)) area += (outer.cableAngles.length * outer.cable.massPerLength) / strandDensity;
  return area;
}

/** From its density when it has one; else it is a closed cylinder from the last vertebra's face to its end, m^3. */
export function toolVolume(tool: Tool, tail: number): number {
  return tool.density === undefined ? (Math.PI / 4) * tool.diameter ** 2 * Math.max(0, tool.length - tail) : tool.mass / tool.density;
}
