import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { faultCodes } from "../../src/base/index.ts";

test("docs/errors.md explains every fault code, and no other", () => {
  const text = readFileSync(new URL("../../docs/errors.md", import.meta.url), "utf8");
  const explained = [...text.matchAll(/^### `([^`]+)`\n+(\S.*)$/gm)].map((found) => found[1]);
  expect([...explained].sort()).toEqual([...faultCodes].sort());
  expect(new Set(faultCodes).size).toBe(faultCodes.length);
});
