export { guessUnit } from "./guess-unit.ts";
export { countMesh, inspectMesh, type MeshCounts } from "./inspect-mesh.ts";
export type { MeshData } from "./mesh-data.ts";
export { readMesh } from "./read-mesh.ts";
export { readObj } from "./read-obj.ts";
export { readPly } from "./read-ply.ts";
export { readStl } from "./read-stl.ts";
export { writeCsv } from "./write-csv.ts";
export { type GlbMesh, type GlbNode, type GlbPaint, writeGlb } from "./write-glb.ts";
