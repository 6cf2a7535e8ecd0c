/** rack.json: written and read again, its faults, and its document. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { InputError } from "../../src/base/index.ts";
import { type RackRecord, rackGroups, rackJson, readRackJson } from "../../src/report/index.ts";

const margin = { title: "Sag", use: Number.POSITIVE_INFINITY, found: -0.0037125, allowed: Number.NaN, whereSays: "at the target" };
const shape = {
  depth: 0.7,
  frames: Float64Array.from({ length: 24 }, (_, k) => Math.sin(k)),
  diameter: Float64Array.of(0.016, 0.016),
  tool: Float64Array.of(1, 2, 3),
  toolDiameter: 0.014,
  firstFree: 1,
};
const parts = { sections: 7, drives: 21, answer: "no go", says: "Too long.", reasons: ["Reach: too long."] } as const;
const rack: RackRecord = {
  version: 1,
  withy: "0.1.0",
  job: "a job",
  inputs: [{ file: "job.yaml", hash: "0123456789abcdef" }],
  arms: [
    {
      from: "a",
      entry: {
        kind: "planned",
        file: "a.yaml",
        arm: "a",
        ...parts,
        hint: "cut it",
        worst: margin,
        reach: margin,
        clearance: margin,
        shape,
      },
    },
    { from: "b", entry: { kind: "planned", file: "b.yaml", arm: "b", ...parts } },
    {
      from: "",
      entry: {
        kind: "faulty",
        file: "c.yaml",
        faults: [{ code: "yaml.syntax", path: "x", problem: "is odd.", hint: "Mend it.", line: 3 }],
      },
    },
    { from: "d", entry: { kind: "failed", file: "d.yaml", arm: "d", says: "thrown" } },
    { from: "e", entry: { kind: "waiting", file: "e.yaml", arm: "e" } },
  ],
};

test("what was written is read again, places to 1e-10 m, other numbers to ten digits, and written the same", () => {
  const text = rackJson(rack);
  const read = readRackJson(text);
  expect(rackJson(read)).toBe(text);
  const first = read.arms[0]?.entry;
  if (first?.kind !== "planned") throw new Error("it was planned");
  expect(first.worst).toEqual(margin);
  for (let k = 0; k < 24; k++) expect(Math.abs((first.shape?.frames[k] as number) - Math.sin(k))).toBeLessThan(1e-10);
  expect(read.arms.slice(1)).toEqual(rack.arms.slice(1));
});

test("every fault is told with its path", () => {
  const raw = JSON.parse(rackJson(rack));
  raw.arms[0].entry.answer = "perhaps";
  raw.arms[1].entry.extra = 1;
  raw.arms[3].entry.kind = "lost";
  const paths = (text: string): string[] => {
    try {
      readRackJson(text);
      return [];
    } catch (error) {
      return (error as InputError).faults.map(({ path }) => path);
    }
  };
  expect(paths(JSON.stringify(raw))).toEqual(expect.arrayContaining(["arms[0].entry.answer", "arms[1].entry.extra", "arms[3].entry.kind"]));
  expect(() => readRackJson("{")).toThrow(InputError);
});

test("docs/rack-json.md explains every field of every group, and no other", () => {
  const text = readFileSync(new URL("../../docs/rack-json.md", import.meta.url), "utf8");
  for (const [name, { fields }] of Object.entries(rackGroups)) {
    const part = text.split(`\n## ${name}\n`)[1]?.split("\n## ")[0] ?? "";
    const told = [...part.matchAll(/^\| `(\w+)` \|/gm)].map(([, field]) => field as string);
    expect(told.sort(), name).toEqual(Object.keys(fields).sort());
  }
});
