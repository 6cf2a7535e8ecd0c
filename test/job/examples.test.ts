import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { gallery, galleryTriangles, makeExamples } from "../../examples/make.ts";
import { exampleFile, exampleNames, loadExample } from "./example.ts";

describe("the examples' geometry", () => {
  const made = makeExamples(fileURLToPath(new URL("../../examples/", import.meta.url)));

  test.each([...made.keys()])("%s is what examples/make.ts makes", (path) => {
    const [name, file] = path.split("/") as [string, string];
    expect(Buffer.compare(made.get(path) as Uint8Array, exampleFile(name, file))).toBe(0);
  });

  test("the gallery has about 100 000 triangles, none without area", () => {
    const corners = galleryTriangles();
    expect(corners.length / 9).toBeGreaterThan(95_000);
    expect(corners.length / 9).toBeLessThan(110_000);
    let least = Infinity;
    for (let t = 0; t < corners.length; t += 9) {
      const c = corners.slice(t, t + 9) as [number, number, number, number, number, number, number, number, number];
      const u = [c[3] - c[0], c[4] - c[1], c[5] - c[2]] as const;
      const v = [c[6] - c[0], c[7] - c[1], c[8] - c[2]] as const;
      least = Math.min(least, Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]));
    }
    expect(least).toBeGreaterThan(1e-4);
  });

  test("its wall is a tube about the centre line: on the drop no point of the wall lies nearer than rib and bead allow", () => {
    const corners = galleryTriangles();
    for (let k = 0; k < corners.length; k += 3) {
      const z = corners[k + 2] as number;
      if (z < -gallery.drop) continue;
      const out = Math.hypot(corners[k] as number, corners[k + 1] as number);
      expect(out).toBeGreaterThan(gallery.radius - gallery.ribs.height - 2);
    }
  });

  test("the target of the gallery lies on its wall: within a bead's height of a corner of the mesh", () => {
    const { target, bodies } = loadExample("valve-gallery");
    const mesh = bodies[0]?.shape;
    if (mesh?.kind !== "mesh") throw new Error("no mesh");
    let nearest = Infinity;
    for (let k = 0; k < mesh.corners.length; k += 3) {
      const apart = [0, 1, 2].map((axis) => (mesh.corners[k + axis] as number) * mesh.unit - (target.place[axis] as number));
      nearest = Math.min(nearest, Math.hypot(...apart));
    }
    // half a facet's diagonal and the bead
    expect(nearest).toBeLessThan((gallery.facet / Math.SQRT2 + gallery.bead) * 1e-3);
  });
});

/** A web that can be moulded or printed (common practice, no source). */
const leastWeb = 0.6e-3;

test.each(exampleNames)("%s: every web of every vertebra is 0.6 mm or more", (name) => {
  const { sections } = loadExample(name).arm;
  sections.forEach((section, j) => {
    const holes = sections
      .slice(j)
      .flatMap((outer) =>
        outer.cableAngles.map((a) => [outer.cableRadius * Math.cos(a), outer.cableRadius * Math.sin(a), outer.holeDiameter] as const),
      );
    const rods = section.rods.flatMap((rod) => [
      [rod.x, rod.y, rod.diameter] as const,
      ...(section.alternating ? [[-rod.y, rod.x, rod.diameter] as const] : []),
    ]);
    const all = [...holes, ...rods, ...(section.channelDiameter > 0 ? [[0, 0, section.channelDiameter] as const] : [])];
    all.forEach((a, i) => {
      if (Math.hypot(a[0], a[1]) > 0) expect(section.outerDiameter / 2 - Math.hypot(a[0], a[1]) - a[2] / 2).toBeGreaterThan(leastWeb);
      for (const b of all.slice(i + 1)) expect(Math.hypot(a[0] - b[0], a[1] - b[1]) - (a[2] + b[2]) / 2).toBeGreaterThan(leastWeb);
    });
  });
});
