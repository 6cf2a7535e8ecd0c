/** The bodies of the space as meshes, with their edges drawn when there are few enough to be worth it. */
import { BufferAttribute, BufferGeometry, EdgesGeometry, Group, LineSegments, Mesh, type ShaderMaterial } from "three";
import { toCreasedNormals } from "three/addons/utils/BufferGeometryUtils.js";
import type { BodyPicture } from "../../worker/index.ts";
import { createSurfaceMaterial, type SurfaceUniforms } from "./surface-material.ts";
import { colour, type Inks } from "./theme.ts";

/** Above this many triangles a mesh is shaded flat and without edges: both would take longer than the first picture may. */
const fineTriangles = 30_000;
const crease = (35 * Math.PI) / 180;

export interface SpaceDrawing {
  readonly group: Group;
  /** [body] the mesh of each body */
  readonly meshes: readonly Mesh[];
  tint(inks: Inks): void;
  dispose(): void;
}

export function createSpaceDrawing(bodies: readonly BodyPicture[], shared: SurfaceUniforms, inks: Inks): SpaceDrawing {
  const group = new Group();
  const meshes: Mesh[] = [];
  const materials: ShaderMaterial[] = [];
  for (const body of bodies) {
    const fine = body.corners.length / 9 <= fineTriangles;
    const plain = new BufferGeometry();
    plain.setAttribute("position", new BufferAttribute(body.corners, 3));
    const geometry = fine ? toCreasedNormals(plain, crease) : plain;
    const material = createSurfaceMaterial(shared, {
      base: colour(inks.wall),
      section: colour(inks.section),
      line: colour(inks.line),
      cut: true,
      solid: body.solid,
      flat: !fine,
    });
    materials.push(material);
    const mesh = new Mesh(geometry, material);
    mesh.name = body.name;
    mesh.visible = body.unseen !== true;
    meshes.push(mesh);
    group.add(mesh);
    if (fine && body.solid) {
      const lines = createSurfaceMaterial(shared, {
        base: colour(inks.line),
        section: colour(inks.line),
        line: colour(inks.line),
        cut: body.unseen !== true,
        solid: false,
        flat: true,
      });
      lines.fragmentShader = lines.fragmentShader.replace("normalize(cross(dFdx(vWorld), dFdy(vWorld)))", "toEye");
      materials.push(lines);
      group.add(new LineSegments(new EdgesGeometry(geometry, 35), lines));
    }
  }
  return {
    group,
    meshes,
    tint(next) {
      for (const mesh of group.children) {
        const uniforms = ((mesh as Mesh).material as ShaderMaterial).uniforms as Record<string, { value: unknown }>;
        const isLine = mesh instanceof LineSegments;
        (uniforms["uBase"] as { value: unknown }).value = colour(isLine ? next.line : next.wall);
        (uniforms["uSection"] as { value: unknown }).value = colour(next.section);
        (uniforms["uLine"] as { value: unknown }).value = colour(next.line);
      }
    },
    dispose() {
      for (const child of group.children) (child as Mesh).geometry.dispose();
      for (const material of materials) material.dispose();
    },
  };
}
