/** Circles as polygons near enough to look at. */

/** Chords leave their arcs by no more than this each way, so surfaces by no more than 0.2 mm; unless the body would take too many triangles. m */
const chordError = 0.1e-3;
const sidesLeast = 12;
const sidesMost = 180;

/** Sides of a polygon whose middle leaves its circle by no more than the chord error; a multiple of four. */
export function sidesOf(radius: number): number {
  const half = radius > chordError ? Math.acos(1 - chordError / radius) : Math.PI / 4;
  return 4 * Math.ceil(Math.min(sidesMost, Math.max(sidesLeast, Math.PI / half)) / 4);
}

/** [side] points of the unit circle; the last is not the first again. */
export function circle(sides: number): [number, number][] {
  return Array.from({ length: sides }, (_, k) => {
    const angle = (2 * Math.PI * k) / sides;
    return [Math.cos(angle), Math.sin(angle)];
  });
}
