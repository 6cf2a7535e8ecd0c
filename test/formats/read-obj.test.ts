import { OBJLoader } from "three/examples/jsm/loaders/OBJLoader.js";
import { describe, expect, test } from "vitest";
import { readObj } from "../../src/formats/index.ts";
import { codeOf, encode } from "./files.ts";

const cube = `# a cube
mtllib none.mtl
o cube
v 0 0 0 1.0
v 1 0 0
v 1 1 0
v 0 1 0
v 0 0 1
v 1 0 1
v 1 1 1
v 0 1 1
vt 0 0
vn 0 0 1
g sides
usemtl grey
s off
f 1/1/1 4/1/1 3/1/1 2/1/1
f 5//1 6//1 7//1 8//1
f 1/1 2/1 6/1 5/1
f -6 -5 -1 -2
f 2 3 7
f 2 7 6
f 1 5 8 4
`;

/** [area of all triangles, volume within, by the divergence theorem] */
function measure(corners: ArrayLike<number>): [number, number] {
  let [area, volume] = [0, 0];
  for (let k = 0; k < corners.length; k += 9) {
    const [a, b, c] = [0, 3, 6].map((i) => [corners[k + i]!, corners[k + i + 1]!, corners[k + i + 2]!]) as [number[], number[], number[]];
    const cross = (u: number[], v: number[]) => [
      u[1]! * v[2]! - u[2]! * v[1]!,
      u[2]! * v[0]! - u[0]! * v[2]!,
      u[0]! * v[1]! - u[1]! * v[0]!,
    ];
    const minus = (u: number[], v: number[]) => u.map((x, i) => x - v[i]!);
    area += Math.hypot(...cross(minus(b, a), minus(c, a))) / 2;
    volume += cross(b, c).reduce((sum, x, i) => sum + x * a[i]!, 0) / 6;
  }
  return [area, volume];
}

describe("OBJ", () => {
  test("a cube of quads and triangles, however its corners are named: area 6, volume 1", () => {
    const { corners, remarks } = readObj(encode(cube));
    expect(corners.length).toBe(12 * 9);
    const [area, volume] = measure(corners);
    expect([area, Math.abs(volume)]).toEqual([expect.closeTo(6, 14), expect.closeTo(1, 14)]);
    expect(remarks).toEqual([]);
    expect([...readObj(encode(cube.replaceAll("\n", "\r\n"))).corners]).toEqual([...corners]);
  });

  test("triangles as a general 3D library reads them", () => {
    const text = cube.split("\n").filter((line) => !line.startsWith("f") || line.split(" ").length === 4).join("\n"); // biome-ignore format: one row
    const theirs: number[] = [];
    new OBJLoader().parse(text).traverse((child) => {
      if ("geometry" in child)
        theirs.push(...(child.geometry as { attributes: { position: { array: Float32Array } } }).attributes.position.array);
    });
    expect([...readObj(encode(text)).corners]).toEqual(theirs);
  });

  test("a face that bends inwards is covered by triangles that lie within it", () => {
    // an L of area 3 whose fan from the first corner would cover the notch, from every start and both ways round
    const corners = [[2, 1], [1, 1], [1, 2], [0, 2], [0, 0], [2, 0]]; // biome-ignore format: one row
    for (let start = 0; start < 6; start++) {
      for (const step of [1, 5]) {
        for (const lay of [(p: number[]) => [...p, 7], (p: number[]) => [p[0]!, 7, p[1]!], (p: number[]) => [7, ...p]]) {
          const round = Array.from({ length: 6 }, (_, k) => lay(corners[(start + step * k) % 6]!));
          const text = `${round.map((p) => `v ${p.join(" ")}`).join("\n")}\nf 1 2 3 4 5 6\n`;
          const mesh = readObj(encode(text));
          expect(mesh.corners.length).toBe(4 * 9);
          expect(measure(mesh.corners)[0]).toBeCloseTo(3, 14);
          expect(mesh.remarks).toEqual([]);
        }
      }
    }
  });

  test("faces may come before their corners, lines may go on after a backslash", () => {
    const { corners } = readObj(encode("f 1 2 \\\n 3\nv 0 0 0\nv 1 0 \\\n 0\nv 0 1 0"));
    expect([...corners]).toEqual([0, 0, 0, 1, 0, 0, 0, 1, 0]);
  });

  test("what is left out is told", () => {
    expect(readObj(encode(`${cube}f 1 2\ncstype bezier\nsurf 0 1 0 1 1 2\n`)).remarks).toEqual([
      "1 face(s) of fewer than three corners were left out",
      "2 lines of curved surfaces were not read: export them as triangles",
    ]);
    expect(readObj(encode("v 0 0 0\nv 1 1 0\nv 1 0 0\nv 0 1 0\nf 1 2 3 4\n")).remarks[0]).toContain("cross themselves");
  });
});

describe("a dirty OBJ", () => {
  test.each([
    ["empty", "", "mesh.empty"],
    ["corners alone", "v 0 0 0\nv 1 0 0\n", "mesh.empty"],
    ["a corner that is not there", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 4\n", "mesh.index"],
    ["a corner before the first", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf -4 -1 -2\n", "mesh.index"],
    ["corner 0", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 0 1 2\n", "mesh.content"],
    ["a word for a corner", "v 0 0 0\nf one two three\n", "mesh.content"],
    ["a word for a number", "v 0 zero 0\n", "mesh.content"],
    ["two numbers for a corner", "v 0 0\nv 1 1 1\n", "mesh.content"],
    ["cut off in a corner", "v 0 0 0\nv 1 0", "mesh.truncated"],
    ["no OBJ", "<html><body>", "mesh.content"],
    ["NaN", "v 0 nan 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n", "mesh.number"],
  ])("%s", (_, text, code) => {
    expect(codeOf(() => readObj(encode(text)))).toBe(code);
  });
});
