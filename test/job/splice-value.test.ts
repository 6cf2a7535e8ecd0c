import fc from "fast-check";
import { expect, test } from "vitest";
import { parse } from "yaml";
import { formatQuantity } from "../../src/base/index.ts";
import { spliceValue } from "../../src/job/index.ts";
import { faultsOf, loadArmText, sampleText } from "./example.ts";

const arm = sampleText("gallery", "arm.yaml");
const job = sampleText("gallery", "job.yaml");

/** Lines that differ. */
function changed(before: string, after: string): string[] {
  const old = before.split("\n");
  return after.split("\n").filter((line, k) => line !== old[k]);
}

test("one value changes, comments and layout stay", () => {
  expect(changed(arm, spliceValue(arm, "sections.cables.pretension", "9 N"))).toEqual(["    pretension: 9 N"]);
  expect(changed(arm, spliceValue(arm, "sections.effective-length", "4 mm"))).toEqual([
    "  effective-length: 4 mm # clamps give a little; to be fitted on the real arm",
  ]);
  expect(changed(job, spliceValue(job, "bodies[2].at[1]", "17 mm"))).toEqual(["    at: [255.1 mm, 17 mm, -474.1 mm]"]);
  expect(changed(job, spliceValue(job, "target.aim", "[1, 0, 0]"))).toEqual([
    "  aim: [1, 0, 0] # 40 degrees from the run towards the wall",
  ]);
  expect(changed(job, spliceValue(job, "target.stand-off", "30 mm .. 50 mm"))).toEqual(["  stand-off: 30 mm .. 50 mm"]);
});

test("text that YAML would read otherwise is quoted", () => {
  for (const name of [
    "yes: no",
    "# none",
    "a # b",
    "[",
    "- x",
    "*x",
    "&y",
    "!z",
    "'",
    '"',
    "1",
    "null",
    "true",
    "{",
    "%",
    "@",
    "a: b: c",
    "[*x, 1]",
    "{ a: &b 1 }",
    "0x1F",
    ".nan",
  ]) {
    const spliced = spliceValue(job, "name", /^(1|null|true)$/.test(name) ? JSON.stringify(name) : name);
    expect(parse(spliced)).toEqual({ ...parse(job), name });
    expect(changed(job, spliced)).toHaveLength(1);
  }
});

test("a key that was left to its default is added to its group", () => {
  const limits = job.replace(/^ {2}sag: .*\n/m, "");
  expect(changed(limits, spliceValue(limits, "limits.sag", "9 mm"))[0]).toBe("  sag: 9 mm");
  expect(parse(spliceValue(limits, "limits.sag", "9 mm")).limits).toEqual({ clearance: "1.5 mm", twist: "15 deg", sag: "9 mm" });
  const bare = job.replace(/^limits:[\s\S]*?\n\n/m, "").trimEnd();
  expect(spliceValue(bare, "limits.twist", "8 deg")).toBe(`${bare}\nlimits:\n  twist: 8 deg\n`);
  expect(parse(spliceValue("a: { b: 1, }\n", "a.c", "2"))).toEqual({ a: { b: 1, c: 2 } });
  expect(parse(spliceValue("a: {}\n", "a.c", "2"))).toEqual({ a: { c: 2 } });
  expect(spliceValue("a:\nb: 2\n", "a", "3 mm")).toBe("a: 3 mm\nb: 2\n");
});

test("line ends of another system stay", () => {
  const crlf = arm.replaceAll("\n", "\r\n");
  for (const [path, value] of [
    ["sections.cables.pretension", "9 N"],
    ["sections.rest", "[0 rad/m, 0 rad/m, 1 rad/m]"],
  ] as const) {
    expect(spliceValue(crlf, path, value)).toBe(spliceValue(arm, path, value).replaceAll("\n", "\r\n"));
  }
});

test("what is no path, no value, or a group of lines is refused", () => {
  expect(faultsOf(() => spliceValue(job, "bodies[9].name", "x"))[0]?.code).toBe("splice.path");
  expect(faultsOf(() => spliceValue(job, "port", "x"))[0]?.code).toBe("splice.path");
  expect(faultsOf(() => spliceValue(job, "a..b", "x"))[0]?.code).toBe("splice.path");
  expect(faultsOf(() => spliceValue(job, "name.x", "x"))[0]?.code).toBe("splice.path");
  expect(faultsOf(() => spliceValue(job, "", "x"))[0]?.code).toBe("splice.path");
  expect(faultsOf(() => spliceValue(job, "name", "a\nb"))[0]?.code).toBe("splice.value");
  expect(faultsOf(() => spliceValue("a: [\n", "a", "1"))[0]?.code).toBe("yaml.syntax");
});

/** Paths of all single values in plain data. */
function leaves(data: unknown, path = ""): string[] {
  if (Array.isArray(data)) return data.flatMap((entry, k) => leaves(entry, `${path}[${k}]`));
  if (data !== null && typeof data === "object")
    return Object.entries(data).flatMap(([key, entry]) => leaves(entry, path === "" ? key : `${path}.${key}`));
  return [path];
}

test("any value takes any text, and nothing else moves (seed 5)", () => {
  const texts = (["box", "gallery"] as const).flatMap((name) => [sampleText(name, "arm.yaml"), sampleText(name, "job.yaml")]);
  fc.assert(
    fc.property(fc.constantFrom(...texts), fc.nat(), fc.string({ minLength: 1, maxLength: 12 }), (text, pick, value) => {
      const paths = leaves(parse(text));
      const path = paths[pick % paths.length] as string;
      const written = JSON.stringify(value);
      const spliced = spliceValue(text, path, written);
      expect(changed(text, spliced).length).toBeLessThanOrEqual(1);
      expect(spliceValue(spliced, path, JSON.stringify("back"))).toBe(spliceValue(text, path, JSON.stringify("back")));
    }),
    { seed: 5, numRuns: 300 },
  );
}, 30_000);

test("a written quantity comes back as the same number (seed 6)", () => {
  fc.assert(
    fc.property(fc.double({ min: 1e-3, max: 500, noNaN: true }), fc.constantFrom("metric", "inch"), (force, system) => {
      const text = spliceValue(arm, "sections.cables.pretension", formatQuantity(force, "force", system as "metric" | "inch", 17));
      const read = loadArmText(text).arm.sections[0]?.pretension as number;
      // two roundings of the unit's factor
      expect(Math.abs(read - force)).toBeLessThanOrEqual(4 * Number.EPSILON * force);
    }),
    { seed: 6, numRuns: 100 },
  );
});
