import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { Cancelled } from "../../apps/cli/console.ts";
import { exitCodeOf } from "../../apps/cli/exit-codes.ts";
import { layTable } from "../../apps/cli/lay-table.ts";
import { sayError } from "../../apps/cli/say-error.ts";
import { sayLeft } from "../../apps/cli/show-progress.ts";
import { writeWhole } from "../../apps/cli/write-whole.ts";
import { InputError } from "../../src/base/index.ts";
import { createConsole } from "./call.ts";

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "withy-write-"));
});
afterEach(() => rmSync(folder, { recursive: true }));

const files = [
  { name: "a.txt", content: "new a" },
  { name: "b.bin", content: Uint8Array.of(1, 2, 3) },
];

describe("writing files whole", () => {
  it("makes the folder and leaves nothing beside the files", async () => {
    const out = join(folder, "deep/er");
    expect(await writeWhole(out, files, createConsole().console)).toEqual([join(out, "a.txt"), join(out, "b.bin")]);
    expect(readdirSync(out).sort()).toEqual(["a.txt", "b.bin"]);
    expect(readFileSync(join(out, "a.txt"), "utf8")).toBe("new a");
    expect([...readFileSync(join(out, "b.bin"))]).toEqual([1, 2, 3]);
  });

  it("leaves the old files as they were when cancelled", async () => {
    writeFileSync(join(folder, "a.txt"), "old a");
    const stop = new AbortController();
    const slow = {
      name: "c.txt",
      get content() {
        // told to stop while the last file is on its way
        stop.abort();
        return "new c";
      },
    };
    await expect(writeWhole(folder, [...files, slow], createConsole(stop.signal).console)).rejects.toThrow(Cancelled);
    expect(readdirSync(folder)).toEqual(["a.txt"]);
    expect(readFileSync(join(folder, "a.txt"), "utf8")).toBe("old a");
  });

  it("leaves nothing half-written when the system refuses", async () => {
    mkdirSync(join(folder, `.b.bin.${process.pid}.part`));
    await expect(writeWhole(folder, files, createConsole().console)).rejects.toMatchObject({ code: "EEXIST" });
    expect(readdirSync(folder).filter((name) => name.includes("a.txt"))).toEqual([]);
  });
});

/** An error as the system itself raises it. */
function raised(task: () => void): unknown {
  try {
    task();
  } catch (error) {
    return error;
  }
  throw new Error("nothing was raised");
}

describe("errors in words", () => {
  it("a full disk is no fault of the input, nor of withy", () => {
    const said = sayError(raised(() => writeFileSync("/dev/full", "x")));
    expect(said).toMatchObject({ exitCode: 74, data: { error: "system" } });
    expect(said.words).toContain("the disk is full");
  });

  it("a missing right names the place", () => {
    const refused = Object.assign(new Error("EACCES: permission denied, open '/x'"), { code: "EACCES", syscall: "open", path: "/x" });
    const said = sayError(refused);
    expect(said.exitCode).toBe(74);
    expect(said.words).toMatch(/EACCES, \/x.*no right/);
  });

  it("a file in the way of a folder", () => {
    writeFileSync(join(folder, "file"), "");
    const said = sayError(raised(() => mkdirSync(join(folder, "file/folder"), { recursive: true })));
    expect(said.exitCode).toBe(74);
    expect(said.words).toContain("a file, not a folder");
  });

  it("a bug is owned up to, with its trace", () => {
    const said = sayError(new TypeError("x is not a function"));
    expect(said.exitCode).toBe(70);
    expect(said.words).toContain("your files are not to blame");
    expect(said.words).toContain("TypeError: x is not a function");
  });

  it("bad input lists its faults and counts them", () => {
    const fault = { code: "quantity.unit", path: "a", problem: "is 3 kg.", hint: "Give a length." } as const;
    const said = sayError(new InputError([fault, { ...fault, path: "b" }]));
    expect(said.exitCode).toBe(1);
    expect(said.words.split("\n")).toEqual([
      "a: is 3 kg. Give a length. [quantity.unit]",
      "b: is 3 kg. Give a length. [quantity.unit]",
      "2 faults.",
    ]);
  });

  it("a cancel is a cancel", () => {
    expect(sayError(new Cancelled("x"))).toMatchObject({ exitCode: 130, data: { error: "cancelled" } });
  });
});

describe("small words", () => {
  it("each answer has its code", () => {
    expect((["go", "go with conditions", "no go", "undecided"] as const).map(exitCodeOf)).toEqual([0, 0, 2, 3]);
  });

  it("the time left goes by the part done", () => {
    expect(sayLeft(0.5, 10)).toBe("10 s left");
    expect(sayLeft(0.1, 20)).toBe("3 min 0 s left");
    expect(sayLeft(0, 20)).toBe("");
    expect(sayLeft(1, 20)).toBe("0 s left");
  });

  it("tables have straight columns", () => {
    expect(layTable([["a", "bb"], ["ccc", "d"]], [1])).toBe("  a    bb\n  ccc   d"); // biome-ignore format: a small table
  });
});
