/** Paths that a job may name: of files inside its own folder, and no others. */
import type { Fault } from "../base/index.ts";

/** @returns the path from the main file's own place, with `.` steps gone, or what is wrong with it */
export function pathInside(main: string, written: string): string | Pick<Fault, "problem" | "hint"> {
  const hint = "Name a file inside the job's own folder, as mesh/gallery.stl.";
  const quoted = JSON.stringify(written);
  if (written.trim() !== written || written === "") return { problem: `is ${quoted}, which begins or ends with a blank.`, hint };
  if (written.includes("\\")) return { problem: `is ${quoted}, with a backslash.`, hint: `Separate folders with /. ${hint}` };
  if (written.startsWith("/") || /^[a-z]:/i.test(written)) return { problem: `is ${quoted}, which begins at the root of a disk.`, hint };
  if (/^[a-z][a-z0-9+.-]*:/i.test(written)) return { problem: `is ${quoted}, which is an address, not a file.`, hint };
  // biome-ignore lint/suspicious/noControlCharactersInRegex: that is what is refused
  if (/[\u0000-\u001f\u007f]/.test(written)) return { problem: `is ${quoted}, with a control character.`, hint };
  const steps = written.split("/").filter((step) => step !== ".");
  if (steps.includes(".."))
    return { problem: `is ${quoted}, which leaves the job's folder.`, hint: `A folder with a job is complete and can be mailed. ${hint}` };
  if (steps.length === 0 || steps.includes("")) return { problem: `is ${quoted}, which names no file.`, hint };
  return folderOf(main) + steps.join("/");
}

/** `a/b/job.yaml` -> `a/b/`; nothing for a bare name. */
export function folderOf(main: string): string {
  return main.slice(0, main.lastIndexOf("/") + 1);
}
