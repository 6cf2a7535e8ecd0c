// Writes NOTICE.md: the licences of the packages whose code the built page contains. Packages that are installed beside withy bring
// their own.
//
//   node scripts/write-notices.js
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));

/** What the page's sources and its worker import, and what those import in turn. */
const bundled = ["@preact/signals", "@preact/signals-core", "comlink", "preact", "three", "uplot", "yaml", "zod"];

export function sayNotices() {
  const parts = bundled.map((name) => {
    const folder = join(root, "node_modules", name);
    const { version, license } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
    const file = readdirSync(folder).find((entry) => /^licen[cs]e(\.\w+)?$/i.test(entry));
    const text = file === undefined ? "(no licence file in the package)" : readFileSync(join(folder, file), "utf8").trim();
    return `## ${name} ${version} (${license})\n\n\`\`\`text\n${text}\n\`\`\`\n`;
  });
  const head = "# Notices\n\nThe built page (dist/page) contains code of these packages, under their own licences.\n";
  return [head, ...parts].join("\n");
}

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(join(root, "NOTICE.md"), sayNotices());
