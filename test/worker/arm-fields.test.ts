import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { listArmFields, listSectionFields } from "../../apps/worker/arm-fields.ts";

const list = `
withy: 1
name: two kinds
sections:
  - spans: 8
    pitch: 11 mm
    cables: { pretension: 6 N } # with a reason
  - spans: 8
    pitch: "0.4 in"
    cables: { pretension: 6 N }
tool:
  mass: 40 .. 60 g
`;

describe("the arm's fields", () => {
  it("stand as they are written, with ranges and without quotes", () => {
    const fields = listArmFields("arm.yaml", list);
    expect(fields.find((one) => one.path === "tool.mass")?.text).toBe("40 .. 60 g");
    expect(fields.find((one) => one.path === "sections[1].pitch")?.text).toBe("0.4 in");
  });

  it("are one where sections carry the same number, and apart where they differ", () => {
    const fields = listArmFields("arm.yaml", list);
    const pretension = fields.filter((one) => one.label === "Pretension");
    expect(pretension.map(({ path, also, group }) => ({ path, also, group }))).toEqual([
      { path: "sections[0].cables.pretension", also: ["sections[1].cables.pretension"], group: "Sections" },
    ]);
    expect(fields.filter((one) => one.label === "Pitch").map((one) => one.group)).toEqual(["Section 1", "Section 2"]);
  });

  it("that the file leaves out are listed empty, with what stands in for them", () => {
    const fields = listArmFields("arm.yaml", list);
    const effective = fields.find((one) => one.key === "effective-length");
    expect(effective).toMatchObject({ text: "", absent: "the hinge gap", path: "sections[0].effective-length", sections: [0, 1] });
    expect(fields.find((one) => one.key === "tool.mass")).toMatchObject({ first: true, sections: [] });
  });

  it("know their sections by the arm's own count", () => {
    const many = "withy: 1\nsections:\n  - { count: 2, spans: 8 }\n  - { spans: 9 }\n";
    const spans = listArmFields("arm.yaml", many).filter((one) => one.key === "spans");
    expect(spans.map((one) => one.sections)).toEqual([[0, 1], [2]]);
  });

  it("of one section alone are its own, as if each stood in the file by itself", () => {
    const text = readFileSync(new URL("../../examples/valve-gallery/arm.yaml", import.meta.url), "utf8");
    const each = listSectionFields("arm.yaml", text);
    expect(each.length).toBe(7);
    expect(each[4]?.find((one) => one.key === "spans")).toMatchObject({
      path: "sections[4].spans",
      text: "12",
      sections: [4],
      alone: true,
    });
    expect(each.flat().some((one) => one.key === "count")).toBe(false);
    expect(listSectionFields("arm.yaml", "sections: 1\n")).toEqual([]);
  });

  it("are none for a text that is no arm", () => {
    expect(listArmFields("arm.yaml", "- 1\n- 2\n")).toEqual([]);
    expect(listArmFields("arm.yaml", "a: [1, 2\n")).toEqual([]);
  });
});
