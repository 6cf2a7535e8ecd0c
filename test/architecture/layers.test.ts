import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import packageJson from "../../package.json" with { type: "json" };
import { findBreaches, reachOf, type SourceFile } from "./find-breaches.ts";
import { arrows } from "./layers.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));

function listSources(folder: string): SourceFile[] {
  return readdirSync(join(root, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name) && !entry.name.endsWith(".d.ts"))
    .map((entry) => join(entry.parentPath, entry.name))
    .map((path) => ({ path: relative(root, path).replaceAll("\\", "/"), text: readFileSync(path, "utf8") }));
}

const sources = [...listSources("src"), ...listSources("apps")];

describe("the layers", () => {
  it("reads the sources", () => {
    expect(sources.length).toBeGreaterThan(50);
  });

  it("has no import, name or folder that breaks them", { timeout: 60_000 }, () => {
    expect(findBreaches(sources).map(({ file, rule, says }) => `${file}: ${rule}: ${says}`)).toEqual([]);
  });

  it("point one way: no layer reaches itself", () => {
    for (const layer of Object.keys(arrows)) expect(reachOf(layer).has(layer), layer).toBe(false);
  });

  it("are entered by an index.ts, and each one of src/ is published", () => {
    const folders = readdirSync(join(root, "src"));
    for (const folder of folders) {
      expect(existsSync(join(root, "src", folder, "index.ts")), `src/${folder}/index.ts`).toBe(true);
      expect(Object.keys(packageJson.exports)).toContain(`./${folder}`);
    }
    const published = Object.keys(packageJson.exports).filter((name) => /^\.\/[a-z]+$/.test(name));
    expect(published.map((name) => name.slice(2)).sort()).toEqual(folders.sort());
  });

  it("meet only through lists of exports", () => {
    for (const { path, text } of sources.filter(({ path }) => /^src\/[a-z]+\/index\.ts$/.test(path))) {
      const code = text.replace(/\/\*[\s\S]*?\*\/|\/\/.*/g, "").replace(/export\s+(type\s+)?\{[^}]*\}\s+from\s+"\.\/[a-z0-9-]+\.ts";/g, "");
      expect(code.trim(), path).toBe("");
    }
  });
});

describe("the check of the layers can fail", () => {
  const bad = (path: string, text: string): string[] => findBreaches([{ path, text }]).map(({ rule }) => rule);

  it.each([
    ["an arrow against the table", "src/space/x.ts", 'import { solveHeld } from "../rod/index.ts";', "arrow"],
    ["a type against the table", "src/math/x.ts", 'import type { ArmModel } from "../arm/index.ts";', "arrow"],
    ["an import() against the table", "src/base/x.ts", 'const m = await import("../math/index.ts");', "arrow"],
    ["an export from above", "src/arm/x.ts", 'export { planPath } from "../path/index.ts";', "arrow"],
    ["src importing apps", "src/plan/x.ts", 'import { main } from "../../apps/cli/index.ts";', "arrow"],
    ["the page importing the server", "apps/page/x.tsx", 'import { createServer } from "../server/index.ts";', "arrow"],
    ["the page computing", "apps/page/x.ts", 'import { solveHeld } from "../../src/rod/index.ts";', "value"],
    ["a side door", "src/rod/x.ts", 'import { createArm } from "../arm/create-arm.ts";', "door"],
    ["a deep side door", "apps/page/view/x.ts", 'import { a } from "../../../src/arm/create-arm.ts";', "door"],
    ["a package in a layer without", "src/rod/x.ts", 'import { Matrix } from "three";', "package"],
    ["Node in src", "src/job/x.ts", 'import { readFileSync } from "node:fs";', "package"],
    ["a wrong ending", "src/arm/x.ts", 'import { a } from "./model.js";', "ending"],
    ["no ending", "src/arm/x.ts", 'import { a } from "./model";', "ending"],
    ["a drawer", "src/arm/utils/x.ts", "export const a = 1;", "folder"],
    ["a drawer of a file", "src/arm/helpers.ts", "export const a = 1;", "folder"],
    ["a layer nobody knows", "src/stuff/x.ts", "export const a = 1;", "unknown-layer"],
    ["the clock", "src/arm/x.ts", "export const t = Date.now();", "forbidden"],
    ["a new Date", "src/arm/x.ts", "export const t = new Date();", "forbidden"],
    ["the fine clock", "src/arm/x.ts", "export const t = performance.now();", "forbidden"],
    ["chance", "src/arm/x.ts", "export const r = Math.random();", "forbidden"],
    ["the console", "src/arm/x.ts", 'console.log("x");', "forbidden"],
    ["the document", "src/arm/x.ts", "export const b = document.body;", "forbidden"],
    ["the window", "src/arm/x.ts", "window.alert(1);", "forbidden"],
    ["the process", "src/arm/x.ts", "export const e = process.env;", "forbidden"],
    ["the network", "src/arm/x.ts", 'void fetch("http://127.0.0.1");', "forbidden"],
    ["a timer", "src/arm/x.ts", "setTimeout(() => {}, 1);", "forbidden"],
    ["a global by shorthand", "src/arm/x.ts", "export const o = { console };", "forbidden"],
  ])("%s", (_what, path, text, rule) => {
    expect(bad(path, text)).toContain(rule);
  });

  it.each([
    ["a type for the page", "apps/page/x.ts", 'import type { PlanResult } from "../../src/plan/index.ts";'],
    ["an allowed arrow", "src/rod/x.ts", 'import { createArm } from "../arm/index.ts";'],
    ["an arrow two layers down", "src/rod/x.ts", 'import { assert } from "../base/index.ts";'],
    ["its own folder", "src/rod/x.ts", 'import { a } from "./model.ts";'],
    [
      "a document of its own",
      "src/report/x.ts",
      'import { parseHTML } from "linkedom"; const { document } = parseHTML(""); document.title = "";',
    ],
    ["a key of that name", "src/arm/x.ts", "export const o = { window: 1 }; export const w = o.window;"],
    ["a word in a comment or text", "src/arm/x.ts", '// the window\nexport const s = "window";'],
    ["the console in apps", "apps/cli/x.ts", 'console.log("x");'],
  ])("and passes %s", (_what, path, text) => {
    expect(bad(path, text)).toEqual([]);
  });
});
