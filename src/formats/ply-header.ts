/** The header of a PLY file: its format, and the elements with their properties in order. */
import { refuseMesh } from "./mesh-data.ts";
import { sayBytes } from "./scan-text.ts";

export interface PlyProperty {
  readonly name: string;
  /** one of `sizes` */
  readonly type: string;
  /** type of the number that comes before a list */
  readonly count?: string;
}

export interface PlyElement {
  readonly name: string;
  readonly count: number;
  readonly properties: PlyProperty[];
}

export interface PlyHeader {
  readonly format: string;
  readonly elements: readonly PlyElement[];
  /** first byte of the data */
  readonly dataAt: number;
  /** lines that the header takes */
  readonly lines: number;
}

/** [type] bytes */
export const sizes: Readonly<Record<string, number>> = { char: 1, uchar: 1, short: 2, ushort: 2, int: 4, uint: 4, float: 4, double: 8 };

const aliases: Readonly<Record<string, string>> = {
  int8: "char", uint8: "uchar", int16: "short", uint16: "ushort", int32: "int", uint32: "uint", float32: "float", float64: "double",
}; // biome-ignore format: one row

const headerMost = 65536;

export function readPlyHeader(bytes: Uint8Array): PlyHeader {
  const head = sayBytes(bytes, 0, Math.min(bytes.length, headerMost));
  if (!/^ply[ \t]*\r?\n/.test(head))
    refuseMesh("mesh.content", "is no PLY: it does not begin with the line ply.", "Export the surface as STL, OBJ or PLY.");
  const end = /(^|\n)end_header[ \t]*\r?\n/.exec(head);
  if (end === null) {
    if (bytes.length < headerMost) refuseMesh("mesh.truncated", "ends within its header.", "Copy or export it again.");
    refuseMesh("mesh.content", "has a header without end_header.", "Export it again.");
  }
  const lines = head.slice(0, end.index).split("\n");
  const elements: PlyElement[] = [];
  let format = "";
  lines.forEach((line, k) => {
    const words = line.trim().split(/\s+/);
    const wrong = (): never =>
      refuseMesh("mesh.content", `has "${line.trim().slice(0, 60)}" in line ${k + 1} of its header.`, "Export it again.");
    if (k === 0 || words[0] === "" || words[0] === "comment" || words[0] === "obj_info") return;
    if (words[0] === "format") {
      format = words[1] ?? "";
      if (!["ascii", "binary_little_endian", "binary_big_endian"].includes(format)) wrong();
    } else if (words[0] === "element") {
      const count = Number(words[2]);
      if (words.length !== 3 || !(count >= 0 && Number.isInteger(count))) wrong();
      elements.push({ name: words[1] as string, count, properties: [] });
    } else if (words[0] === "property") {
      const element = elements.at(-1);
      const property = readProperty(words);
      if (element === undefined || property === undefined) return wrong();
      element.properties.push(property);
    } else wrong();
  });
  if (format === "") refuseMesh("mesh.content", "names no format in its header.", "Export it again.");
  return { format, elements, dataAt: end.index + end[0].length, lines: lines.length + 1 };
}

function readProperty(words: readonly string[]): PlyProperty | undefined {
  const list = words[1] === "list";
  const types = (list ? words.slice(2, 4) : words.slice(1, 2)).map((word) => aliases[word] ?? word);
  const name = words[list ? 4 : 2];
  if (name === undefined || words.length !== (list ? 5 : 3) || types.some((type) => !(type in sizes))) return undefined;
  return list ? { name, type: types[1] as string, count: types[0] as string } : { name, type: types[0] as string };
}
