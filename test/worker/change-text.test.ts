import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import { changeText } from "../../apps/worker/change-text.ts";

const text = `sections:
  channel: 4 mm
  joint-limit: 10 deg # by the rims
  backbone: { layout: twin, diameter: 1 mm, spacing: 8 mm }
  cables:
    circle-radius: 6 mm
    hole: 1 mm
`;

describe("a number of the arm's text", () => {
  it("is replaced where it stands, taken out when it is empty, and added when it was not there", () => {
    expect(changeText(text, "sections.joint-limit", "8 deg")).toBe(text.replace("10 deg", "8 deg"));
    expect(changeText(text, "sections.joint-limit", " ")).toBe(text.replace("  joint-limit: 10 deg # by the rims\n", ""));
    expect(parse(changeText(text, "sections.effective-length", "3 mm")).sections["effective-length"]).toBe("3 mm");
  });

  it("of a backbone's layout takes the spacing along: none for one rod, half-way from the channel to the holes for two", () => {
    const single = changeText(text, "sections.backbone.layout", "single");
    expect(parse(single).sections.backbone).toEqual({ layout: "single", diameter: "1 mm" });
    // channel's edge at 2 mm, holes' inner edge at 5.5 mm: rods at 3.75 mm, 7.5 mm apart
    expect(parse(changeText(single, "sections.backbone.layout", "twin")).sections.backbone.spacing).toBe("7.5 mm");
    expect(changeText(text, "sections.backbone.layout", "twin")).toBe(text);
  });
});
