/** The built package, packed and laid into an empty folder beside its own dependencies alone. */
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, renameSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import packageJson from "../../package.json" with { type: "json" };
import lock from "../../package-lock.json" with { type: "json" };

const root = fileURLToPath(new URL("../..", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "withy-package-"));
const modules = join(folder, "node_modules");
let packed: string[] = [];

beforeAll(() => {
  const told = execFileSync("npm", ["pack", "--json", "--ignore-scripts", "--pack-destination", folder], { cwd: root, encoding: "utf8" });
  const [made] = JSON.parse(told) as [{ filename: string; files: { path: string }[] }];
  packed = made.files.map(({ path }) => path);
  execFileSync("tar", ["-xzf", join(folder, made.filename), "-C", folder]);
  mkdirSync(modules);
  renameSync(join(folder, "package"), join(modules, "withy"));
  for (const path of installedBesideIt()) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    symlinkSync(join(root, path), join(folder, path));
  }
});
afterAll(() => rmSync(folder, { recursive: true }));

/** What npm would install with the package: everything of the lock that is not for development alone, at the top level. */
function installedBesideIt(): string[] {
  const entries = Object.entries(lock.packages as Record<string, { dev?: boolean; devOptional?: boolean; optional?: boolean }>);
  return entries
    .filter(([path, entry]) => path !== "" && !entry.dev && !entry.devOptional && !entry.optional)
    .map(([path]) => path)
    .filter((path) => path.lastIndexOf("node_modules/") === 0);
}

const withy = (...args: string[]) =>
  spawnSync(process.execPath, [join(modules, "withy/bin/withy.js"), ...args], { cwd: folder, encoding: "utf8" });

describe("the packed package", () => {
  it("holds what is needed to run, and nothing of the workshop", () => {
    for (const path of [
      "bin/withy.js",
      "dist/apps/cli/main.js",
      "dist/page/index.html",
      "schema/job.schema.json",
      "LICENSE",
      "NOTICE.md",
      "README.md",
    ]) {
      expect(packed).toContain(path);
    }
    for (const name of ["valve-gallery", "valve-gallery-8", "water-box"]) expect(packed).toContain(`examples/${name}/job.yaml`);
    expect(packed.filter((path) => /^(test|bench|scripts|src|apps|node_modules|\.)/.test(path))).toEqual([]);
    expect(packed.filter((path) => path.endsWith(".ts") && !path.endsWith(".d.ts") && !path.startsWith("examples/"))).toEqual([]);
  });

  it("leaves no development package to be missed", () => {
    expect(existsSync(join(modules, "vite"))).toBe(false);
    expect(existsSync(join(modules, "three"))).toBe(false);
    expect(withy("--version").stdout.trim()).toBe(packageJson.version);
  });

  it("checks an example from an empty folder", () => {
    const done = withy("check", "node_modules/withy/examples/water-box");
    expect(done.stderr).toBe("");
    expect(done.status).toBe(0);
    expect(done.stdout).toContain("no fault found");
  });

  it("gives every layer that it names", () => {
    const names = Object.keys(packageJson.exports).filter((name) => /^\.\/[a-z]+$/.test(name));
    const code = names
      .map((name) => `if (Object.keys(await import("withy${name.slice(1)}")).length === 0) throw new Error("${name}");`)
      .join("\n");
    writeFileSync(join(folder, "use.mjs"), code);
    const done = spawnSync(process.execPath, ["use.mjs"], { cwd: folder, encoding: "utf8" });
    expect(done.stderr).toBe("");
    expect(done.status).toBe(0);
  });

  it("types those who use it", () => {
    writeFileSync(
      join(folder, "use.mts"),
      'import { solveTensions, type SolveReport } from "withy/rod";\nexport const steps = (r: SolveReport): number => r.iterations;\nexport const wrong: string = solveTensions;\n',
    );
    const options = ["--noEmit", "--strict", "--module", "nodenext", "--moduleResolution", "nodenext", "--target", "es2022", "--types", ""];
    const done = spawnSync(process.execPath, [join(root, "node_modules/tsc7/bin/tsc"), ...options, "use.mts"], {
      cwd: folder,
      encoding: "utf8",
    });
    // the one fault is the one that was put in: so the types were found, and are no `any`
    expect(
      done.stdout
        .trim()
        .split("\n")
        .filter((line) => line.includes("error")),
    ).toHaveLength(1);
    expect(done.stdout).toMatch(/use\.mts\(3,14\): error TS2322/);
  });

  it("carries its notices as they are", async () => {
    // @ts-expect-error a plain script without declarations
    const { sayNotices } = await import("../../scripts/write-notices.js");
    expect(readFileSync(join(root, "NOTICE.md"), "utf8")).toBe(sayNotices());
  });
});
