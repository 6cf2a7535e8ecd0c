import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import { InputError } from "../../src/base/index.ts";
import { dropValue } from "../../src/job/index.ts";

const text = `# an arm
withy: 1
sections:
  - spans: 8 # first
    pitch: 11 mm
    backbone: { layout: twin, diameter: 1 mm, spacing: 8 mm }
  - spans: 9
    hoses:
      - name: lead
        mass-per-length: 12 g/m

tool:
  mass: 40 g # with a reason
  length: 20 mm
`;

describe("a key taken out", () => {
  it("takes its line with it and leaves all others byte for byte", () => {
    expect(dropValue(text, "tool.mass")).toBe(text.replace("  mass: 40 g # with a reason\n", ""));
    expect(dropValue(text, "sections[0].pitch")).toBe(text.replace("    pitch: 11 mm\n", ""));
    expect(dropValue(text, "withy")).toBe(text.replace("withy: 1\n", ""));
  });

  it("out of braces, first, in the middle and last", () => {
    expect(dropValue(text, "sections[0].backbone.layout")).toBe(text.replace("layout: twin, ", ""));
    expect(dropValue(text, "sections[0].backbone.diameter")).toBe(text.replace("diameter: 1 mm, ", ""));
    expect(dropValue(text, "sections[0].backbone.spacing")).toBe(text.replace(", spacing: 8 mm", ""));
  });

  it("behind the dash of a list, with a group of lines, and at the end of the file", () => {
    expect(parse(dropValue(text, "sections[0].spans")).sections[0]).toEqual({ pitch: "11 mm", backbone: parse(text).sections[0].backbone });
    expect(parse(dropValue(text, "sections[1].hoses")).sections[1]).toEqual({ spans: 9 });
    expect(parse(dropValue(text, "tool.length")).tool).toEqual({ mass: "40 g" });
    expect(parse(dropValue(text.trimEnd(), "tool.length")).tool).toEqual({ mass: "40 g" });
    expect(dropValue(text, "tool")).toContain("# an arm");
  });

  it("that is not there changes nothing; what is no key is refused", () => {
    expect(dropValue(text, "tool.density")).toBe(text);
    expect(dropValue(text, "nothing.at.all")).toBe(text);
    expect(() => dropValue(text, "sections[0]")).toThrow(InputError);
    expect(() => dropValue(text, "")).toThrow(InputError);
  });

  it("each key of the example arm in turn: the text that is left says all the rest", () => {
    const arm = readFileSync(new URL("../../examples/valve-gallery/arm.yaml", import.meta.url), "utf8");
    const keys = Object.keys(parse(arm).sections as object);
    expect(keys.length).toBeGreaterThan(8);
    for (const key of keys) {
      const left = parse(dropValue(arm, `sections.${key}`));
      const { [key]: _, ...rest } = parse(arm).sections;
      expect(left).toEqual({ ...parse(arm), sections: rest });
    }
  });
});
