/** What a CAD file is, told by its name, and whether its text is whole: the kernel that reads it says little more than that it failed. */
import { refuseMesh } from "./mesh-data.ts";
import { sayBytes } from "./scan-text.ts";

export type CadKind = "step" | "iges" | "brep";

/** @returns nothing for a name with another ending */
export function cadKindOf(name: string): CadKind | undefined {
  const ending = /\.([a-z0-9]+)$/i.exec(name)?.[1]?.toLowerCase() ?? "";
  if (ending === "step" || ending === "stp") return "step";
  if (ending === "iges" || ending === "igs") return "iges";
  return ending === "brep" || ending === "brp" ? "brep" : undefined;
}

/** How far from its two ends a file is looked at, bytes. */
const endSize = 4096;

/**
 * @throws InputError `mesh.empty`, `mesh.content`, `mesh.truncated`
 * @see docs/sources.md#step (ISO 10303-21), #iges
 */
export function checkCadText(kind: CadKind, bytes: Uint8Array): void {
  if (bytes.length === 0) refuseMesh("mesh.empty", "is empty.", "Copy or export it again.");
  const head = sayBytes(bytes, 0, Math.min(bytes.length, endSize)).replace(/^\xef\xbb\xbf/, "");
  const tail = sayBytes(bytes, Math.max(0, bytes.length - endSize), bytes.length);
  const packed = (bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3) || (bytes[0] === 0x1f && bytes[1] === 0x8b);
  if (packed) refuseMesh("mesh.content", "is packed (ZIP or gzip).", "Unpack it first.");
  const quoted = JSON.stringify(head.trimStart().slice(0, 30));
  if (kind === "step") {
    if (!/^(\s|\/\*[\s\S]*?\*\/)*ISO-10303-21\s*;/.test(head))
      refuseMesh(
        "mesh.content",
        `is no STEP: it begins with ${quoted}, not with ISO-10303-21;`,
        "Export the part as STEP (AP203, AP214 or AP242).",
      );
    if (!/END-ISO-10303-21\s*;/.test(tail)) refuseBroken(bytes, tail, "END-ISO-10303-21;");
  } else if (kind === "iges") {
    const lines = head.split(/\r?\n/);
    if (!/^.{72}[SBC]/.test(lines[0] ?? ""))
      refuseMesh(
        "mesh.content",
        `is no IGES: its first line (${quoted}) has no S in column 73.`,
        "Export the part as IGES, or better as STEP.",
      );
    if (!/(^|\n).{72}T/.test(tail)) refuseBroken(bytes, tail, "a line with T in column 73");
  } else if (!/CASCADE Topology V\d/.test(head)) {
    refuseMesh("mesh.content", `is no BREP in text: it begins with ${quoted}.`, "Export the part as BREP in text, or better as STEP.");
  }
}

function refuseBroken(bytes: Uint8Array, tail: string, end: string): never {
  let lines = 1;
  for (let k = 0; k < bytes.length; k++) if (bytes[k] === 10) lines++;
  const last = tail.trimEnd().split("\n").at(-1) ?? "";
  refuseMesh("mesh.truncated", `ends in line ${lines} with ${JSON.stringify(last.slice(-40))}, without ${end}`, "Copy or export it again.");
}
