import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { formatQuantity, parseQuantity, type QuantityKind, quantityKinds, quantityPattern, readQuantity } from "../../src/base/index.ts";

const kinds = Object.keys(quantityKinds) as QuantityKind[];

function faultOf(written: unknown, kind: QuantityKind): { readonly code: string; readonly problem: string; readonly hint: string } {
  const read = readQuantity(written, kind);
  if (!("code" in read)) throw new Error(`${String(written)} was read as ${read.nominal}`);
  return read;
}

describe("a quantity is read", () => {
  test("to the last bit, for whole numbers of a decimal unit", () => {
    for (let n = 1; n < 2000; n++) expect(parseQuantity(`${n} mm`, "length").nominal).toBe(Number(`${n}e-3`));
  });

  test("as a range, with the middle as nominal", () => {
    expect(parseQuantity("10 mm .. 14 mm", "length")).toEqual({ nominal: 0.012, low: 0.01, high: 0.014 });
    expect(parseQuantity("10 .. 14 mm", "length")).toEqual(parseQuantity("10 mm..14 mm", "length"));
    expect(parseQuantity("1 cm .. 14 mm", "length").low).toBe(0.01);
  });

  test("with spread, absolute or as a share", () => {
    expect(parseQuantity("12 mm +- 0.5 mm", "length")).toEqual({ nominal: 0.012, low: 0.0115, high: 0.0125 });
    expect(parseQuantity("12 ± 0.5 mm", "length")).toEqual(parseQuantity("12 mm +- 0.5 mm", "length"));
    const share = parseQuantity("-200 N +- 5 %", "force");
    expect([share.low, share.high]).toEqual([-210, -190]);
  });

  test("temperature and its difference are two kinds: a spread of one is the other", () => {
    const t = parseQuantity("20 degC +- 9 degF", "temperature");
    expect(t.nominal).toBeCloseTo(293.15, 12);
    expect(t.high - t.nominal).toBeCloseTo(5, 10);
    expect(parseQuantity("20 degC", "temperature-difference").nominal).toBe(20);
  });

  test("a ratio needs no unit", () => {
    expect(parseQuantity("0.33", "ratio").nominal).toBe(0.33);
    expect(readQuantity(0.33, "ratio")).toMatchObject({ nominal: 0.33 });
    expect(parseQuantity("33 %", "ratio").nominal).toBeCloseTo(0.33, 15);
  });
});

describe("a quantity is refused", () => {
  test("a bare number where a unit belongs, with a suggestion", () => {
    for (const kind of kinds.filter((k) => k !== "ratio")) {
      for (const written of [12, "12", "-1.5e3"]) {
        const fault = faultOf(written, kind);
        expect(fault.code).toBe("quantity.unit");
        // what is suggested is right
        const suggested = /, as (\S+ .+) \(units:/.exec(fault.hint)?.[1] ?? "";
        expect(readQuantity(suggested, kind)).not.toHaveProperty("code");
      }
    }
  });

  test.each([
    "NaN mm",
    "nan",
    ".nan",
    "Infinity mm",
    "-inf mm",
    ".inf",
    "0x10 mm",
    "0b1 mm",
    "1e999 mm",
    "",
    "mm",
    "twelve mm",
    "1,5 mm",
    "--3 mm",
    "−3 mm",
    "1 2 mm",
  ])("%j is no number", (text) => {
    expect(faultOf(text, "length").code).toMatch(/^quantity\.(number|unit)$/);
  });

  test("a number that is infinite or undefined, a list, nothing", () => {
    for (const written of [Number.NaN, Number.POSITIVE_INFINITY, [], {}, null, true]) {
      expect(faultOf(written, "ratio").code).toBe("quantity.number");
    }
  });

  test("a unit of another kind is named, another case is corrected", () => {
    expect(faultOf("12 N", "length").problem).toContain("belongs to a force");
    expect(faultOf("12 MM", "length").hint).toBe("Write 12 mm.");
    expect(faultOf("12 mn", "force").code).toBe("quantity.unit");
    expect(faultOf("1 degC", "angle").problem).toContain("temperature");
  });

  test("a range that runs downwards, a spread below 0, two of a kind", () => {
    expect(faultOf("14 mm .. 10 mm", "length").code).toBe("quantity.range");
    expect(faultOf("14 mm +- -1 mm", "length").code).toBe("quantity.range");
    expect(faultOf("1 mm .. 2 mm .. 3 mm", "length").code).toBe("quantity.range");
    expect(faultOf("1 mm .. ", "length").code).toBe("quantity.number");
  });
});

describe("a quantity is written", () => {
  test("in the unit of its size, in either system", () => {
    expect(formatQuantity(0.8988, "length", "metric")).toBe("898.8 mm");
    expect(formatQuantity(0.001, "length", "metric")).toBe("1 mm");
    expect(formatQuantity(0, "length", "metric")).toBe("0 mm");
    expect(formatQuantity(0.0254, "length", "inch")).toBe("1 in");
    expect(formatQuantity(66, "force", "inch")).toBe("14.84 lbf");
    expect(formatQuantity(6e10, "pressure", "metric")).toBe("60 GPa");
    expect(formatQuantity(293.15, "temperature", "inch")).toBe("68 degF");
    expect(formatQuantity(Number.POSITIVE_INFINITY, "ratio", "metric")).toBe("unlimited");
    expect(formatQuantity(Number.NaN, "length", "metric")).toBe("undefined");
  });

  test("and read back to the same value (seed 1)", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...kinds),
        fc.constantFrom("metric", "inch"),
        fc.double({ min: 1e-9, max: 1e12, noNaN: true }),
        fc.boolean(),
        (kind, system, size, negative) => {
          const value = negative ? -size : size;
          const back = parseQuantity(formatQuantity(value, kind, system as "metric" | "inch", 17), kind).nominal;
          // a few roundings of the factor; near absolute zero the offset of a temperature eats digits
          const scale = Math.abs(value) + (kind === "temperature" ? 500 : 0);
          expect(Math.abs(back - value)).toBeLessThanOrEqual(4 * Number.EPSILON * scale);
        },
      ),
      { seed: 1, numRuns: 2000 },
    );
  });
});

describe("the published pattern", () => {
  const part = fc.constantFrom(
    "12",
    "-1.5",
    ".5",
    "3.",
    "1e3",
    "0x1",
    "NaN",
    "mm",
    "in",
    "N",
    "m2",
    "%",
    "deg",
    "degC",
    "K",
    " ",
    "  ",
    "..",
    "+-",
    "±",
    "+/-",
    ",",
    "g/m",
    "",
  );

  test("lets through whatever the reader reads (seed 2)", () => {
    fc.assert(
      fc.property(fc.constantFrom(...kinds), fc.array(part, { minLength: 1, maxLength: 7 }), (kind, parts) => {
        const text = parts.join("");
        const read = readQuantity(text, kind);
        if (!("code" in read)) expect(text).toMatch(new RegExp(quantityPattern(kind), "u"));
      }),
      { seed: 2, numRuns: 20000 },
    );
  });

  test("stops what the reader refuses, but for numbers too large (seed 3)", () => {
    fc.assert(
      fc.property(fc.constantFrom(...kinds), fc.array(part, { minLength: 1, maxLength: 5 }), (kind, parts) => {
        const text = parts.join("");
        if (/\.\.|\+-|±|\+\/-/.test(text)) return; // which half may leave its unit to the other is the reader's affair
        const read = readQuantity(text, kind);
        if ("code" in read && !read.problem.includes("too large")) expect(text).not.toMatch(new RegExp(quantityPattern(kind), "u"));
      }),
      { seed: 3, numRuns: 20000 },
    );
  });
});
