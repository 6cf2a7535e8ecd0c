/**
 * Makes the geometry of the examples, and the eight-section variant from the seven-section one. Run it after changing a number:
 * `npx tsx examples/make.ts`. The same numbers give the same bytes: coordinates are rounded to a micrometre before they are written.
 */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

/** The valve gallery of Marl Quay 2, millimetres. World: z up, the port at the origin, the way in straight down. */
export const gallery = {
  /** inner radius of the gallery */
  radius: 55,
  /** centre line: straight down, round the bend towards +x, straight on to the blind end */
  drop: 180,
  bendRadius: 220,
  bendAngle: 75,
  run: 460,
  /** edge of a wall facet */
  facet: 2.6,
  /** stiffening ribs: raised rings, at these stations of the centre line */
  ribs: { stations: [60, 130, 250, 330, 420, 560, 700, 860], height: 3, width: 8 },
  /** flanged joints: a groove, with a weld bead on either side */
  joints: { stations: [176, 472, 780], depth: 5, width: 5 },
  /** height of a weld bead */
  bead: 1.5,
  /** valve stubs: station, angle about the centre line from the outer side of the bend towards +y, radius, length */
  stubs: [
    { station: 95, angle: 90, radius: 16, length: 50 },
    { station: 540, angle: -90, radius: 20, length: 60 },
    { station: 630, angle: 180, radius: 18, length: 60 },
    { station: 818, angle: 90, radius: 20, length: 60 },
  ],
} as const;

type Vector = readonly [number, number, number];

/** Every file this script makes, by its path from this folder. */
export function makeExamples(folder: string): Map<string, Uint8Array> {
  const text = (path: string): string => readFileSync(join(folder, path), "utf8");
  const made = new Map<string, Uint8Array>();
  const mesh = writeStl(galleryTriangles(), "valve gallery of Marl Quay, mm");
  made.set("valve-gallery/gallery.stl", mesh);
  made.set("valve-gallery-8/gallery.stl", mesh);
  const encode = (written: string): Uint8Array => new TextEncoder().encode(written);
  made.set(
    "valve-gallery-8/job.yaml",
    encode(swap(text("valve-gallery/job.yaml"), /^name: .*$/m, "name: Marl Quay 2, weld in the valve gallery, eight sections")),
  );
  const eight = swap(text("valve-gallery/arm.yaml"), /^name: .*$/m, "name: twin eight");
  const sections = swap(eight, /^ {2}count: 7 .*$/m, "  count: 8 # eight sections of three cables: 24 drives");
  made.set("valve-gallery-8/arm.yaml", encode(`${sections.trimEnd()}\n${drum}`));
  made.set("valve-gallery-drum/gallery.stl", mesh);
  const drummed = swap(
    text("valve-gallery/job.yaml"),
    /^name: .*$/m,
    "name: Marl Quay 2, weld in the valve gallery, from a drum into a tube",
  );
  made.set("valve-gallery-drum/job.yaml", encode(swap(drummed, /^guide-length: .*$/m, launch)));
  const wide = swap(drum, /^ {2}core-diameter: .*$/m, "  core-diameter: 600 mm");
  const lined = swap(sections, /^name: .*$/m, "name: twin eight, lined");
  made.set("valve-gallery-drum/arm.yaml", encode(`${lined.trimEnd()}\n${wide}${lining}`));
  return made;
}

/** What the longer arm is kept on. */
const drum = `drum:
  core-diameter: 320 mm
  bent-by: drum
  cover: 2 mm # a band of felt all round
  pull: 20 N
`;

/** The drum stands beside the port; a bent tube leads from it through the port. */
const launch = `guide-length: 20 mm # between drum and tube

launch:
  from: drum
  tube:
    points:
      - at: [0 mm, -70 mm, 230 mm]
      - { at: [0 mm, 0 mm, 100 mm], bend: 260 mm }
      - at: [0 mm, 0 mm, -20 mm]
    bore: 17 mm
    outside: 19 mm
    place-tolerance: 0.5 mm
    tilt-tolerance: 0.25 deg`;

const lining = `friction: # holes and conduits lined with PTFE: what lies on the drum would eat most of the pull otherwise
  holes: 0.05 .. 0.09
  conduit: 0.04 .. 0.08
`;

/** The gallery's wall, end, stubs: [triangle, 9], mm. */
export function galleryTriangles(): number[] {
  const triangles: number[] = [];
  const { drop, bendRadius, run, facet, radius } = gallery;
  const length = drop + (bendRadius * gallery.bendAngle * Math.PI) / 180 + run;
  const rings = Math.round(length / facet);
  const around = Math.round((2 * Math.PI * radius) / facet);
  const wall = (i: number, j: number): Vector => {
    const station = (i * length) / rings;
    const angle = (2 * Math.PI * (j % around)) / around;
    return across(station, wallRadius(station, angle), angle);
  };
  for (let i = 0; i < rings; i++) {
    for (let j = 0; j < around; j++) {
      if (insideStub((i * length) / rings, ((i + 1) * length) / rings, (2 * Math.PI * j) / around, (2 * Math.PI * (j + 1)) / around))
        continue;
      quad(triangles, wall(i, j), wall(i, j + 1), wall(i + 1, j + 1), wall(i + 1, j));
    }
  }
  const rim = Array.from({ length: around }, (_, j) => wall(rings, j));
  cap(triangles, across(length, 0, 0), rim, 12);
  for (const stub of gallery.stubs) addStub(triangles, stub);
  return triangles;
}

/** Wall radius with ribs, joints, beads and the unevenness of a casting. */
function wallRadius(station: number, angle: number): number {
  const { ribs, joints, bead, stubs } = gallery;
  let radius: number = gallery.radius + 0.15 * Math.sin(station / 11 + 3 * angle) + 0.1 * Math.sin(station / 23 - 7 * angle);
  for (const rib of ribs.stations) radius -= ribs.height * hump((station - rib) / ribs.width);
  for (const joint of joints.stations) {
    radius += joints.depth * hump((station - joint) / joints.width);
    radius -= bead * (hump((station - joint - 9) / 5) + hump((station - joint + 9) / 5));
  }
  for (const stub of stubs) {
    const apart = stubDistance(stub, station, angle);
    if (apart > 0) radius -= bead * hump((apart - stub.radius - 2) / 5);
  }
  return radius;
}

/** 1 in the middle, 0 from half a width on, smooth between. */
function hump(share: number): number {
  const x = Math.abs(share) * 2;
  return x >= 1 ? 0 : (1 - x * x) ** 2;
}

/** Point at a station of the centre line, so far out at that angle. */
function across(station: number, out: number, angle: number): Vector {
  const { drop, bendRadius, bendAngle } = gallery;
  const turn = Math.min(Math.max((station - drop) / bendRadius, 0), (bendAngle * Math.PI) / 180);
  const before = Math.min(station, drop);
  const after = Math.max(0, station - drop - bendRadius * turn);
  const [sine, cosine] = [Math.sin(turn), Math.cos(turn)];
  // along (sine, 0, -cosine); the outer side of the bend is (-cosine, 0, -sine)
  const x = bendRadius * (1 - cosine) + after * sine;
  const z = -before - bendRadius * sine - after * cosine;
  const outer = out * Math.cos(angle);
  return [x - outer * cosine, out * Math.sin(angle), z - outer * sine];
}

type Stub = (typeof gallery.stubs)[number];

/** Distance from the stub's axis, seen along it; negative on the far side of the gallery. */
function stubDistance(stub: Stub, station: number, angle: number): number {
  const aside = angle - (stub.angle * Math.PI) / 180;
  if (Math.cos(aside) < 0) return -1;
  return Math.sqrt((station - stub.station) ** 2 + (gallery.radius * Math.sin(aside)) ** 2);
}

function insideStub(from: number, to: number, left: number, right: number): boolean {
  const inside = (stub: Stub, station: number, angle: number): boolean => {
    const apart = stubDistance(stub, station, angle);
    return apart >= 0 && apart < stub.radius;
  };
  return gallery.stubs.some((stub) => [from, to].every((station) => [left, right].every((angle) => inside(stub, station, angle))));
}

/** A closed pipe that begins at the wall, along the wall's own curve. Stubs stand on the straights. */
function addStub(triangles: number[], stub: Stub): void {
  const around = Math.round((2 * Math.PI * stub.radius) / gallery.facet);
  const rings = Math.round(stub.length / gallery.facet);
  const middle = (stub.angle * Math.PI) / 180;
  const at = (i: number, j: number): Vector => {
    const turn = (2 * Math.PI * (j % around)) / around;
    const aside = stub.radius * Math.sin(turn);
    const foot = Math.sqrt(gallery.radius ** 2 - aside ** 2) - 1;
    const out = foot + ((gallery.radius + stub.length - foot) * i) / rings;
    const far = Math.sqrt(out ** 2 + aside ** 2);
    return across(stub.station + stub.radius * Math.cos(turn), far, middle + Math.atan2(aside, out));
  };
  for (let i = 0; i < rings; i++) {
    for (let j = 0; j < around; j++) quad(triangles, at(i, j), at(i, j + 1), at(i + 1, j + 1), at(i + 1, j));
  }
  cap(
    triangles,
    across(stub.station, gallery.radius + stub.length, middle),
    Array.from({ length: around }, (_, j) => at(rings, j)),
    5,
  );
}

/** A flat end: rings of triangles from the rim to the middle. */
function cap(triangles: number[], middle: Vector, rim: readonly Vector[], rings: number): void {
  const at = (i: number, j: number): Vector => {
    const point = rim[j % rim.length] as Vector;
    const share = i / rings;
    return [0, 1, 2].map((k) => (point[k] as number) + ((middle[k] as number) - (point[k] as number)) * share) as unknown as Vector;
  };
  for (let i = 0; i < rings; i++) {
    for (let j = 0; j < rim.length; j++) {
      if (i < rings - 1) quad(triangles, at(i, j), at(i, j + 1), at(i + 1, j + 1), at(i + 1, j));
      else triangles.push(...at(i, j), ...at(i, j + 1), ...middle);
    }
  }
}

function quad(triangles: number[], a: Vector, b: Vector, c: Vector, d: Vector): void {
  triangles.push(...a, ...b, ...c, ...a, ...c, ...d);
}

/** Binary STL. Coordinates are rounded to a micrometre, so that the last bit of a sine cannot change a file. */
function writeStl(triangles: readonly number[], title: string): Uint8Array {
  const count = triangles.length / 9;
  const bytes = new Uint8Array(84 + 50 * count);
  bytes.set(new TextEncoder().encode(title).subarray(0, 80));
  const view = new DataView(bytes.buffer);
  view.setUint32(80, count, true);
  for (let t = 0; t < count; t++) {
    const c = triangles.slice(9 * t, 9 * t + 9).map((value) => Math.round(value * 1e3) / 1e3) as number[];
    const [ux, uy, uz] = [c[3]! - c[0]!, c[4]! - c[1]!, c[5]! - c[2]!];
    const [vx, vy, vz] = [c[6]! - c[0]!, c[7]! - c[1]!, c[8]! - c[2]!];
    const normal = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    const size = Math.sqrt(normal[0]! ** 2 + normal[1]! ** 2 + normal[2]! ** 2) || 1;
    [...normal.map((value) => value / size), ...c].forEach((value, k) => {
      view.setFloat32(84 + 50 * t + 4 * k, value + 0, true);
    });
  }
  return bytes;
}

function swap(text: string, line: RegExp, by: string): string {
  if (!line.test(text)) throw new Error(`the example has no line ${line}`);
  return text.replace(line, by);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const folder = dirname(fileURLToPath(import.meta.url));
  for (const [path, bytes] of makeExamples(folder)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), bytes);
    process.stdout.write(`${path}: ${bytes.length} bytes\n`);
  }
}
