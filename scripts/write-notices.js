// Writes NOTICE.md: the licences of the packages whose code the built page contains, and of the CAD kernel that is used beside it. Packages
// that are installed beside withy bring their own.
//
//   node scripts/write-notices.js
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));

/** What the page's sources and its worker import, and what those import in turn. */
const bundled = ["@preact/signals", "@preact/signals-core", "comlink", "preact", "three", "uplot", "yaml", "zod"];

/** Kept apart from our code, loaded only when a CAD file is named, and replaceable by another build of the same package. */
const beside = ["occt-import-js"];

export function sayNotices() {
  const head = "# Notices\n\nThe built page (dist/page) contains code of these packages, under their own licences.\n";
  const apart =
    "# Beside the page\n\nThe CAD kernel is no part of our code: it is a package of its own, unchanged, loaded in a thread of its own and only when a job names a CAD\n" +
    "file; the page fetches its files as they lie in that package. Whoever has another build of it may put that in their place. Its sources are at\n" +
    "<https://github.com/kovacsv/occt-import-js>, those of the library within it at <https://github.com/Open-Cascade-SAS/OCCT>.\n";
  return [head, ...bundled.map(sayOne), apart, ...beside.map(sayOne), sayInner()].join("\n");
}

/** @param {string} name */
function sayOne(name) {
  const folder = join(root, "node_modules", name);
  const { version, license } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
  const file = readdirSync(folder).find((entry) => /^licen[cs]e(\.\w+)?$/i.test(entry));
  const text = file === undefined ? "(no licence file in the package)" : readFileSync(join(folder, file), "utf8").trim();
  return `## ${name} ${version} (${license})\n\n\`\`\`text\n${text}\n\`\`\`\n`;
}

/** The library that the kernel is built from has a licence text of its own. */
function sayInner() {
  const text = readFileSync(join(root, "node_modules", "occt-import-js", "dist", "license.occt.txt"), "utf8").trim();
  return `## The library within occt-import-js (LGPL-2.1)\n\n\`\`\`text\n${text}\n\`\`\`\n`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(join(root, "NOTICE.md"), sayNotices());
