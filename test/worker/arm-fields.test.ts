import { describe, expect, it } from "vitest";
import { listArmFields } from "../../apps/worker/arm-fields.ts";

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

  it("are none for a text that is no arm", () => {
    expect(listArmFields("arm.yaml", "- 1\n- 2\n")).toEqual([]);
    expect(listArmFields("arm.yaml", "a: [1, 2\n")).toEqual([]);
  });
});
