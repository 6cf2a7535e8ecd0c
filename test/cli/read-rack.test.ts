import { join } from "node:path";
import { expect, it } from "vitest";
import { call, root } from "./call.ts";

const job = join(root, "test/browser/duct");

it.each([
  ["a rack that is not there", "nowhere", "is not there. Name a folder with arm files"],
  ["an arm file for a rack", "arm.yaml", "is a file, not a folder. Name a folder with arm files"],
])("refuses %s as bad input", async (_what, name, says) => {
  const { code, out, err } = await call(["rack", job, join(job, name)]);
  expect(code).toBe(1);
  expect(out).toBe("");
  expect(err).toContain(`${join(job, name)} ${says}`);
});
