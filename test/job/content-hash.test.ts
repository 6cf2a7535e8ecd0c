import { expect, test } from "vitest";
import { contentHash } from "../../src/job/index.ts";

/** Test vectors of the function's authors for FNV-1a, 64 bit (from memory). */
test.each([
  ["", "cbf29ce484222325"],
  ["a", "af63dc4c8601ec8c"],
  ["foobar", "85944171f73967e8"],
])("FNV-1a of %j", (text, hash) => {
  expect(contentHash(new TextEncoder().encode(text))).toBe(hash);
});

test("as 64-bit integers give it", () => {
  const bytes = Uint8Array.from({ length: 1000 }, (_, k) => (k * 37) % 256);
  let slow = 0xcbf29ce484222325n;
  for (const byte of bytes) slow = ((slow ^ BigInt(byte)) * 0x100000001b3n) % 2n ** 64n;
  expect(contentHash(bytes)).toBe(slow.toString(16).padStart(16, "0"));
});
