/** Units against NIST SP 811 (2008), appendix B.8 and B.9: printed to seven digits, exact ones marked bold there. */
import { describe, expect, test } from "vitest";
import { parseQuantity, type QuantityKind } from "../../src/base/index.ts";

describe("units against NIST SP 811, appendix B", () => {
  // exact by definition: the inch (25.4 mm), the pound, the pound-force with standard gravity 9.80665 m/s2, the bar
  const exact: readonly [string, QuantityKind, number][] = [
    ["1 in", "length", 0.0254],
    ["1 ft", "length", 0.3048],
    ["1 lb", "mass", 0.45359237],
    ["1 lbf", "force", 4.4482216152605],
    ["1 bar", "pressure", 1e5],
    ["1 ft/s2", "acceleration", 0.3048],
    ["0 degC", "temperature", 273.15],
    ["1 min", "time", 60],
    ["1 h", "time", 3600],
  ];
  test.each(exact)("%s as %s", (text, kind, si) => {
    // last bit of a product of exact factors
    expect(Math.abs(parseQuantity(text, kind).nominal / si - 1)).toBeLessThan(3e-16);
  });

  const rounded: readonly [string, QuantityKind, number][] = [
    ["1 oz", "mass", 2.834952e-2],
    ["1 psi", "pressure", 6.894757e3],
    ["1 ksi", "pressure", 6.894757e6],
    ["1 lb/ft", "mass-per-length", 1.488164],
    ["1 lb/in3", "density", 2.76799e4],
    ["1 deg", "angle", 1.745329e-2],
    ["1 degF", "temperature-difference", 5.555556e-1],
  ];
  test.each(rounded)("%s as %s, seven digits", (text, kind, si) => {
    // half a unit in the seventh digit printed, at worst 5e-7 of the value
    expect(Math.abs(parseQuantity(text, kind).nominal / si - 1)).toBeLessThan(5e-7);
  });

  test("Fahrenheit: (t + 459.67) / 1.8", () => {
    for (const t of [-40, 32, 98.6, 212]) expect(parseQuantity(`${t} degF`, "temperature").nominal).toBeCloseTo((t + 459.67) / 1.8, 10);
    expect(parseQuantity("-40 degF", "temperature").nominal).toBeCloseTo(parseQuantity("-40 degC", "temperature").nominal, 10);
  });
});
