import { readFileSync } from "node:fs";
import Ajv2020 from "ajv/dist/2020.js";
import { describe, expect, test } from "vitest";
import { parse } from "yaml";
import { armSchema, jobSchema } from "../../src/job/index.ts";
import { exampleNames, exampleText } from "./example.ts";

const schemas = { job: jobSchema(), arm: armSchema() };

/** ajv is a JSON Schema checker of its own: what it accepts does not depend on this project's reader. */
function checker(kind: "job" | "arm") {
  return new Ajv2020.default({ strict: false, allErrors: true }).compile(schemas[kind]);
}

describe.each(["job", "arm"] as const)("%s schema", (kind) => {
  test("the published file is the one the code makes (npx tsx scripts/write-schema.ts)", () => {
    const file = readFileSync(new URL(`../../schema/${kind}.schema.json`, import.meta.url), "utf8");
    expect(JSON.parse(file)).toEqual(JSON.parse(JSON.stringify(schemas[kind])));
  });

  test.each(exampleNames)("accepts example %s", (name) => {
    const check = checker(kind);
    expect(check(parse(exampleText(name, `${kind}.yaml`))), JSON.stringify(check.errors)).toBe(true);
  });
});

test("the schema itself stops what the reader stops: unknown key, bare number, wrong unit, missing key", () => {
  const check = checker("job");
  const good = parse(exampleText("water-box", "job.yaml"));
  expect(check({ ...good, guidelength: "1 m" })).toBe(false);
  expect(check({ ...good, "guide-length": 80 })).toBe(false);
  expect(check({ ...good, "guide-length": "80 N" })).toBe(false);
  expect(check({ ...good, "guide-length": "70 mm .. 80 mm" })).toBe(true);
  expect(check({ ...good, withy: 2 })).toBe(false);
  expect(check({ ...good, port: undefined })).toBe(false);
  expect(check({ ...good, bodies: [] })).toBe(false);
  const within = (fluid: unknown) => check({ ...good, conditions: { ...good.conditions, fluid } });
  expect(within("dry")).toBe(true);
  expect(within({ density: "1025 kg/m3", current: ["0.5 m/s", "0 m/s", "0 m/s"], "drag-coefficient": 1.2 })).toBe(true);
  expect(within("wet")).toBe(false);
  expect(within({ density: "1025 kg/m3", current: ["0.5 m", "0 m/s", "0 m/s"] })).toBe(false);
});
