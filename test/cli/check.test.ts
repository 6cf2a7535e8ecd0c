import { execFileSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import packageJson from "../../package.json" with { type: "json" };
import { version } from "../../src/plan/index.ts";
import { stepText } from "../formats/cad-files.ts";
import { call, root } from "./call.ts";

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "withy-cli-"));
  cpSync(join(root, "examples/valve-gallery"), join(folder, "job"), { recursive: true });
});
afterEach(() => rmSync(folder, { recursive: true }));

const jobFile = (): string => join(folder, "job/job.yaml");

function edit(file: string, from: string | RegExp, to: string): void {
  const path = join(folder, "job", file);
  const before = readFileSync(path, "utf8");
  const after = before.replace(from, to);
  expect(after, `${from} stands in ${file}`).not.toBe(before);
  writeFileSync(path, after);
}

describe("withy", () => {
  it("reads CAD files beside meshes, names their parts, and says at its line what a broken one is", async () => {
    // nothing is left in the tester's own folders
    vi.stubEnv("WITHY_CACHE", "");
    const solids = stepText([
      { name: "block", box: [-20, -12, -7, 20, 12, 7] },
      { name: "pin", bar: { radius: 2, length: 30 } },
    ]);
    writeFileSync(join(folder, "job/box.step"), solids);
    edit("job.yaml", "    shape: box\n    size: [40 mm, 24 mm, 14 mm]\n", "    shape: mesh\n    file: box.step\n    tolerance: 20 um\n");
    const { code, out } = await call(["check", jobFile(), "--json"]);
    expect(code).toBe(0);
    const { bodies, inputs } = JSON.parse(out) as { bodies: { name: string; triangles?: number }[]; inputs: { file: string }[] };
    expect(bodies.map(({ name }) => name)).toEqual(expect.arrayContaining(["junction box / block", "junction box / pin"]));
    expect(bodies.find(({ name }) => name === "junction box / block")?.triangles).toBe(12);
    expect(inputs.map(({ file }) => file)).toEqual(["job.yaml", "arm.yaml", "gallery.stl", "box.step"]);
    writeFileSync(join(folder, "job/box.step"), solids.slice(0, 2000));
    const broken = await call(["check", jobFile()]);
    expect(broken.code).toBe(1);
    expect(broken.err).toMatch(/job\.yaml:\d+:\d+ bodies\[3\]\.file: box\.step ends in line \d+ with .* without END-ISO-10303-21/);
  });

  it("says its version, the same everywhere", async () => {
    expect((await call(["--version"])).out.trim()).toBe(packageJson.version);
    expect(version).toBe(packageJson.version);
  });

  it("explains itself and its exit codes", async () => {
    const { code, out } = await call(["--help"]);
    expect(code).toBe(0);
    for (const word of ["check", "plan", "solve", "serve", "schema", "undecided", "130"]) expect(out).toContain(word);
  });

  it.each([
    ["a word that is no command", ["plann", "x"], /Did you mean plan\?/],
    ["a missing argument", ["plan"], /missing required argument/],
    ["an option that is none", ["plan", "x", "--jsn"], /Did you mean --json\?/],
    ["a port that is none", ["serve", "x", "--port", "99999"], /65535/],
    ["a count that is none", ["plan", "x", "--turn", "-1"], /whole number/],
    ["units that are none", ["check", "x", "--units", "furlong"], /metric, inch/],
    ["a schema that is none", ["schema", "plan"], /job or arm/],
  ])("refuses %s with 1", async (_what, args, says) => {
    const { code, out, err } = await call(args);
    expect(code).toBe(1);
    expect(err).toMatch(says);
    expect(out).toBe("");
  });

  it.each(["job", "arm"])("prints the schema of a %s file, the same as the published one", async (kind) => {
    const { code, out } = await call(["schema", kind]);
    expect(code).toBe(0);
    expect(JSON.parse(out)).toEqual(JSON.parse(readFileSync(join(root, `schema/${kind}.schema.json`), "utf8")));
  });
});

describe("withy check", () => {
  it.each(["valve-gallery", "valve-gallery-8", "water-box"])("finds no fault in the example %s", async (name) => {
    const { code, out } = await call(["check", join(root, "examples", name, "job.yaml")]);
    expect(code).toBe(0);
    expect(out).toContain("no fault found");
  });

  it("takes a folder for the job in it, and says what it understood", async () => {
    const { code, out } = await call(["check", join(folder, "job"), "--json"]);
    expect(code).toBe(0);
    const told = JSON.parse(out);
    // seven sections of three cables: 7 x 3
    expect(told.arm).toMatchObject({ sections: 7, cables: 21 });
    expect(told.inputs.map(({ file }: { file: string }) => file)).toEqual(["job.yaml", "arm.yaml", "gallery.stl"]);
  });

  it("names every fault with file, line and column, from where the person stands", async () => {
    edit("job.yaml", "bore: 20 mm", "bore: -20 mm");
    edit("job.yaml", "cone: 20 deg", "cone: 20");
    const { code, out, err } = await call(["check", jobFile()]);
    expect(code).toBe(1);
    expect(out).toBe("");
    const lines = readFileSync(jobFile(), "utf8").split("\n");
    for (const text of ["bore: -20 mm", "cone: 20"]) {
      const line = lines.findIndex((candidate) => candidate.trim().startsWith(text)) + 1;
      expect(err).toContain(`${jobFile()}:${line}:`);
    }
    expect(err).toMatch(/\n2 faults\.\n$/);
  });

  it("gives the same faults to a machine", async () => {
    edit("job.yaml", "bore: 20 mm", "bore: 20 parsec");
    const { code, out, err } = await call(["check", jobFile(), "--json"]);
    expect(code).toBe(1);
    expect(err).toBe("");
    const told = JSON.parse(out);
    expect(told.error).toBe("input");
    expect(told.faults).toHaveLength(1);
    expect(told.faults[0]).toMatchObject({ code: "quantity.unit", path: "port.bore", file: jobFile() });
    expect(told.faults[0].line).toBeGreaterThan(1);
  });

  it.each([
    ["a job that is not there", () => join(folder, "nothing.yaml"), /no such file/],
    ["a folder without a job", () => folder, /no such file/],
    ["a path through a file", () => `${jobFile()}/job.yaml`, /a file, not a folder/],
  ])("refuses %s", async (_what, path, says) => {
    const { code, err } = await call(["check", path()]);
    expect(code).toBe(1);
    expect(err).toMatch(says);
  });

  it.each([
    ["is missing", () => rmSync(join(folder, "job/gallery.stl")), /no such file/],
    [
      "is a folder",
      () => {
        rmSync(join(folder, "job/gallery.stl"));
        mkdirSync(join(folder, "job/gallery.stl"));
      },
      /it is a folder/,
    ],
    [
      "is a link out of the folder",
      () => {
        rmSync(join(folder, "job/gallery.stl"));
        cpSync(join(root, "examples/valve-gallery/gallery.stl"), join(folder, "outside.stl"));
        symlinkSync("../outside.stl", join(folder, "job/gallery.stl"));
      },
      /leads out of the job's folder/,
    ],
    [
      "is a link in a circle",
      () => {
        rmSync(join(folder, "job/gallery.stl"));
        symlinkSync("gallery.stl", join(folder, "job/gallery.stl"));
      },
      /in a circle/,
    ],
    [
      "is a pipe",
      () => {
        rmSync(join(folder, "job/gallery.stl"));
        execFileSync("mkfifo", [join(folder, "job/gallery.stl")]);
      },
      /no plain file/,
    ],
  ])("refuses a mesh that %s, at the line that names it", async (_what, spoil, says) => {
    spoil();
    const { code, err } = await call(["check", jobFile()]);
    expect(code).toBe(1);
    expect(err).toMatch(says);
    const line =
      readFileSync(jobFile(), "utf8")
        .split("\n")
        .findIndex((text) => text.includes("file: gallery.stl")) + 1;
    expect(err).toContain(`${jobFile()}:${line}:`);
  });

  it("follows a link that stays in the folder", async () => {
    mkdirSync(join(folder, "job/meshes"));
    cpSync(join(folder, "job/gallery.stl"), join(folder, "job/meshes/real.stl"));
    rmSync(join(folder, "job/gallery.stl"));
    symlinkSync("meshes/real.stl", join(folder, "job/gallery.stl"));
    expect((await call(["check", jobFile()])).code).toBe(0);
  });

  it("refuses a path out of the folder, though the file is there", async () => {
    cpSync(join(folder, "job/gallery.stl"), join(folder, "gallery.stl"));
    edit("job.yaml", "file: gallery.stl", "file: ../gallery.stl");
    const { code, err } = await call(["check", jobFile()]);
    expect(code).toBe(1);
    expect(err).toContain("[file.path]");
  });
});
