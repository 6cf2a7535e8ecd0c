import { existsSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { createSmallClone, type SmallClone } from "./small-clone.ts";

const install = "npm ci --include=dev --no-audit --no-fund";
const makesModules = "/bin/mkdir -p node_modules";

let clone: SmallClone;
beforeEach(() => {
  clone = createSmallClone();
  clone.tool("npm", makesModules);
});
afterEach(() => clone.end());

const setUp = (...wants: string[]) => clone.run(["scripts/set-up.js", ...wants]);

describe("packages and build", () => {
  it("are made once, and the second run calls nothing", async () => {
    expect((await setUp("--build")).status).toBe(0);
    expect(clone.calls()).toEqual([install, "build"]);
    // as on an unplugged network: an npm that would fail
    clone.tool("npm", "exit 1");
    expect((await setUp("--build")).status).toBe(0);
    expect(clone.calls()).toEqual([]);
  });

  it("are made again where their stamp no longer holds", async () => {
    await setUp("--build");
    clone.calls();
    clone.put("src/a.ts", "export const a = 2;");
    await setUp("--build");
    expect(clone.calls()).toEqual(["build"]);
    clone.put("src/deep/b.ts", "");
    await setUp("--build");
    expect(clone.calls()).toEqual(["build"]);
    clone.put("package-lock.json", '{ "a": 1 }');
    await setUp("--build");
    expect(clone.calls()).toEqual([install, "build"]);
    clone.remove("node_modules");
    await setUp("--build");
    expect(clone.calls()).toEqual([install]);
    clone.remove("dist");
    await setUp("--build");
    expect(clone.calls()).toEqual(["build"]);
  });

  it("do not go by dates: the same content written anew changes nothing", async () => {
    await setUp("--build");
    clone.calls();
    clone.put("src/a.ts", "export const a = 1;");
    clone.put("package-lock.json", "{}");
    await setUp("--build");
    expect(clone.calls()).toEqual([]);
  });

  it("an install that fails says so, is not stamped, and is tried again", async () => {
    clone.tool("npm", `${makesModules}; exit 1`);
    const failed = await setUp("--build");
    expect(failed.status).toBe(1);
    expect(failed.err).toMatch(/npm ci did not work.*network/);
    expect(clone.calls()).toEqual([install]);
    clone.tool("npm", makesModules);
    expect((await setUp("--build")).status).toBe(0);
    expect(clone.calls()).toEqual([install, "build"]);
  });

  it("a machine without npm is told so", async () => {
    clone.remove(".tools/npm");
    const failed = await setUp();
    expect(failed.status).toBe(1);
    expect(failed.err).toContain("npm");
  });

  it("a build that fails says so and is not stamped", async () => {
    clone.put("scripts/build.js", 'import { appendFileSync } from "node:fs"; appendFileSync(".calls", "build\\n"); process.exitCode = 1;');
    for (let k = 0; k < 2; k++) {
      const failed = await setUp("--build");
      expect(failed.status).toBe(1);
      expect(failed.err).toContain("build did not work");
    }
    expect(clone.calls()).toEqual([install, "build", "build"]);
  });

  it("the npm that started it is used", async () => {
    clone.put(
      "own-npm.js",
      'import { appendFileSync, mkdirSync } from "node:fs"; mkdirSync("node_modules"); appendFileSync(".calls", "own npm\\n");',
    );
    await clone.run(["scripts/set-up.js"], { npm_execpath: join(clone.folder, "own-npm.js") });
    expect(clone.calls()).toEqual(["own npm"]);
  });
});

describe("two runs at once", () => {
  it("install once: the second waits for the first", async () => {
    clone.tool("npm", `/bin/sleep 1; ${makesModules}`);
    const [first, second] = await Promise.all([setUp("--build"), setUp("--build")]);
    expect([first.status, second.status]).toEqual([0, 0]);
    expect(clone.calls()).toEqual([install, "build"]);
    expect(first.err + second.err).toContain("waiting");
    expect(existsSync(join(clone.folder, ".stamps/lock"))).toBe(false);
  });

  it("a lock whose run has died is taken over", async () => {
    // above the largest number a process can have on Linux
    clone.put(".stamps/lock/pid", "4194305");
    expect((await setUp()).status).toBe(0);
    expect(clone.calls()).toEqual([install]);
  });
});

describe("the browser", () => {
  const browse = (env = {}) => clone.run(["scripts/set-up.js", "--browser"], env);
  const root = (): void => clone.tool("id", "echo 0");
  beforeEach(async () => {
    await setUp();
    clone.calls();
  });

  it("of the setting is taken, and nothing is installed", async () => {
    root();
    clone.tool("apt-get");
    clone.tool("my-browser");
    await browse({ WITHY_CHROMIUM: join(clone.folder, ".tools/my-browser") });
    expect(clone.calls()).toEqual(["my-browser --version"]);
  });

  it("of a wrong setting is refused in words, and nothing is installed behind its back", async () => {
    root();
    clone.tool("apt-get");
    const { err } = await browse({ WITHY_CHROMIUM: "/nowhere/chromium" });
    expect(err).toContain("WITHY_CHROMIUM is /nowhere/chromium, which does not run");
    expect(clone.calls().filter((call) => call.startsWith("apt-get"))).toEqual([]);
  });

  it("of the system is taken", async () => {
    root();
    clone.tool("apt-get");
    clone.tool("chromium");
    await browse();
    expect(clone.calls()).toEqual(["chromium --version"]);
  });

  it("is installed by the package manager when root", async () => {
    root();
    const installs = `if [ "$1" = install ]; then echo '#!/bin/sh' > ${join(clone.folder, ".tools/chromium")}; /bin/chmod +x ${join(clone.folder, ".tools/chromium")}; fi`;
    clone.tool("apt-get", installs);
    const { status, err } = await browse();
    expect(status).toBe(0);
    expect(clone.calls()).toEqual(["id -u", "apt-get update", "apt-get install --yes --no-install-recommends chromium"]);
    expect(err).not.toContain("No Chromium");
  });

  it("that the package manager could not install is asked for in words", async () => {
    root();
    clone.tool("apt-get", "exit 100");
    const { err } = await browse();
    expect(clone.calls()).toEqual(["id -u", "apt-get update"]);
    expect(err).toMatch(/apt-get update.*did not work/);
    expect(err).toContain("WITHY_CHROMIUM");
  });

  it("that does not run after its installation is not taken for one", async () => {
    root();
    clone.tool("apt-get");
    expect((await browse()).err).toContain("yet no Chromium runs");
  });

  it("is left to the person who is not root", async () => {
    clone.tool("id", "echo 1000");
    clone.tool("apt-get");
    const { err } = await browse();
    expect(clone.calls()).toEqual(["id -u"]);
    expect(err).toContain("No Chromium was found");
    expect(err).toContain("WITHY_CHROMIUM");
  });
});
