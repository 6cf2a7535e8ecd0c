import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import type { ArmDescription } from "../../src/arm/index.ts";
import { InputError } from "../../src/base/index.ts";
import { loadArm, spliceValue, splitSections } from "../../src/job/index.ts";

const examples = new URL("../../examples/", import.meta.url);
const armOf = (text: string): ArmDescription => {
  const loaded = loadArm("arm.yaml", new Map([["arm.yaml", new TextEncoder().encode(text)]]));
  if (loaded.kind !== "arm") throw new Error("the arm names other files");
  return loaded.arm;
};
const gallery = readFileSync(new URL("valve-gallery/arm.yaml", examples), "utf8");

describe("sections told apart", () => {
  const isArm = (name: string): boolean => name.endsWith("/arm.yaml") || name.startsWith("rack/");
  const files = readdirSync(examples, { recursive: true, encoding: "utf8" }).filter((name) => /\.yaml$/.test(name) && isArm(name));
  it.each(files)("%s stays the same arm, each of its sections an entry", (name) => {
    const text = readFileSync(new URL(name, examples), "utf8");
    const split = splitSections(text);
    expect(armOf(split)).toEqual(armOf(text));
    expect(parse(split).sections.length).toBe(armOf(text).sections.length);
    expect(splitSections(split)).toBe(split);
  });

  it("keep what stands before and after them byte for byte, and their comments", () => {
    const split = splitSections(gallery);
    expect(split.startsWith(gallery.slice(0, gallery.indexOf("sections:")))).toBe(true);
    expect(split.endsWith(gallery.slice(gallery.indexOf("\ntool:")))).toBe(true);
    expect(split.match(/# clamps give a little/g)?.length).toBe(7);
  });

  it("keep a line of comment between two of their keys", () => {
    const commented = gallery.replace("  pitch:", "  # as milled\n  pitch:");
    const split = splitSections(commented);
    expect(split.match(/ {4}# as milled\n {4}pitch:/g)?.length).toBe(7);
    expect(armOf(split)).toEqual(armOf(gallery));
  });

  it("let one be changed alone", () => {
    const changed = armOf(spliceValue(splitSections(gallery), "sections[2].spans", "9"));
    const whole = armOf(gallery);
    expect(changed.sections.map((one) => one.spans)).toEqual([12, 12, 9, 12, 12, 12, 12]);
    expect(changed.sections[5]).toEqual(whole.sections[5]);
  });

  it("from a list with counts and names, in braces, and with lines that end in CR LF", () => {
    const pattern = parse(gallery).sections;
    const { count: _, ...one } = pattern;
    const list = (entries: unknown[]) => gallery.replace(/sections:[\s\S]*(?=tool:)/, `sections: ${JSON.stringify(entries)}\n`);
    const named = list([
      { ...one, name: "root", count: 2 },
      { ...one, name: "end" },
    ]);
    expect(armOf(splitSections(named)).sections.map((section) => section.name)).toEqual(["root 1", "root 2", "end"]);
    expect(armOf(splitSections(named))).toEqual(armOf(named));
    const windows = gallery.replaceAll("\n", "\r\n");
    expect(armOf(splitSections(windows))).toEqual(armOf(gallery));
  });

  it("of a text that is no arm are refused", () => {
    expect(() => splitSections("sections: 3\n")).toThrow(InputError);
    expect(() => splitSections(gallery.replace("pitch: 10.7 mm", "pitch: 10.7"))).toThrow(InputError);
  });
});
