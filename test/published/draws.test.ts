/** What draws say, against published numbers. docs/sources.md#draws */
import { describe, it, test } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import { chanceOf, weighOne } from "../../src/study/index.ts";
import { reach } from "./reach.ts";

describe("Wilson's interval", () => {
  // Newcombe (1998), Statistics in Medicine 17, 857-872, table I, method 3; from memory; printed to four digits
  it.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])("of %i in %i", (count, of, low, high) => {
    const chance = chanceOf(count, of);
    reach("scoreInterval", chance.low - low);
    reach("scoreInterval", chance.high - high);
  });
});

test("Ishigami's function: first indices (seed 11, 4 000 draws; by chance about 0.015 each)", () => {
  // Ishigami and Homma (1990); indices as Saltelli and others (2008) give them; from memory
  const random = createRandom(11);
  const x = Array.from({ length: 3 }, () => Array.from({ length: 4000 }, () => Math.PI * (2 * random() - 1)));
  const [one, two, three] = x as [number[], number[], number[]];
  const y = one.map((x1, k) => Math.sin(x1) + 7 * Math.sin(two[k] as number) ** 2 + 0.1 * (three[k] as number) ** 4 * Math.sin(x1));
  [0.3139, 0.4424, 0].forEach((share, k) => {
    reach("firstShares", weighOne(x[k] as number[], y).share - share);
  });
});
