import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Fault } from "../../src/base/index.ts";
import { InputError, sayFault } from "../../src/base/index.ts";
import { findInArmFile, loadJob } from "../../src/job/index.ts";
import { bytes, faultsOf, loadArmText, loadSample, sampleText, swap } from "./example.ts";

const job = sampleText("box", "job.yaml");
const arm = sampleText("box", "arm.yaml");

function jobFaults(changedJob: string, changedArm = arm): readonly Fault[] {
  return faultsOf(() => loadSample("box", { "job.yaml": changedJob, "arm.yaml": changedArm }));
}

function lineOf(text: string, part: string): number {
  return text.slice(0, text.indexOf(part)).split("\n").length;
}

describe("shape", () => {
  test("an unknown key is named with its line and the nearest right spelling, all at once", () => {
    const text = swap(
      swap(swap(job, "  bore: 44 mm", "  boer: 30 mm"), "  stand-off: 40", "  standOff: 40"),
      "guide-length",
      "guidelength",
    );
    const faults = jobFaults(text);
    expect(faults.map((fault) => [fault.code, fault.path])).toEqual([
      ["shape.missing-key", "port.bore"],
      ["shape.unknown-key", "port.boer"],
      ["shape.unknown-key", "target.standOff"],
      ["shape.unknown-key", "guidelength"],
    ]);
    expect(faults[1]).toMatchObject({ file: "job.yaml", line: lineOf(text, "boer"), column: 3, hint: "Write bore, or take it away." });
    expect(faults[2]?.hint).toContain("Write stand-off,");
    expect(faults[3]?.hint).toContain("Write guide-length,");
    expect(faults[0]).toMatchObject({ line: lineOf(text, "port:") });
    expect(sayFault(faults[1] as Fault)).toBe(
      `job.yaml:${lineOf(text, "boer")}:3 port.boer: is not a key here. Write bore, or take it away. [shape.unknown-key]`,
    );
  });

  test("a key like no other is answered with the keys there are", () => {
    const [fault] = jobFaults(swap(job, "  cone: 25 deg", "  cone: 25 deg\n  zzz: 1"));
    expect(fault?.hint).toMatch(/^Keys here are: name, task, place, aim, cone/);
  });

  test("a wrong word, a list for a group, a group for a list, text for a number, too few entries", () => {
    expect(jobFaults(swap(job, "task: look", "task: lok"))[0]).toMatchObject({
      code: "shape.choice",
      path: "target.task",
      received: "lok",
      hint: expect.stringContaining("Did you mean look?"),
    });
    expect(jobFaults(swap(job, "shape: cylinder", "shape: cilinder"))[0]).toMatchObject({
      code: "shape.choice",
      hint: expect.stringContaining("Did you mean cylinder?"),
    });
    expect(jobFaults(swap(job, "limits:\n  clearance: 3 mm", "limits: [3 mm]\nx:\n  clearance: 3 mm"))[0]).toMatchObject({
      code: "shape.kind",
      path: "limits",
    });
    expect(jobFaults(swap(job, "aim: [-0.80, 0.15, -0.58]", "aim: [-0.80, up, -0.58]"))[0]).toMatchObject({
      code: "shape.kind",
      path: "target.aim[1]",
    });
    expect(jobFaults(swap(job, "aim: [-0.80, 0.15, -0.58]", "aim: [-0.80, 0.15]"))[0]).toMatchObject({
      code: "shape.count",
      path: "target.aim",
    });
    expect(jobFaults(job.replace(/^port:\n[\s\S]*?(?=^target)/m, ""))[0]).toMatchObject({ code: "shape.missing-key", path: "port" });
  });

  test("faults within one section of a list stand at that section", () => {
    const pattern = /sections:\n([\s\S]*?)tool:/.exec(arm)?.[1] ?? "";
    const item = pattern
      .replace(/^ {2}count: 4.*\n/, "")
      .replace(/^ {2}/gm, "    ")
      .replace(/^ {4}/, "  - ");
    const list = arm.replace(pattern, item + item.replace("pitch:", "pich:"));
    const faults = faultsOf(() => loadArmText(list));
    expect(faults.map((fault) => fault.path)).toEqual(["sections[1].pitch", "sections[1].pich"]);
  });
});

describe("syntax", () => {
  test("an open bracket is one fault, at its line", () => {
    const text = swap(job, "size: [30 mm, 500 mm, 560 mm]", "size: [30 mm, 500 mm, 560 mm");
    const faults = jobFaults(text);
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatchObject({ code: "yaml.syntax", file: "job.yaml" });
    expect(Math.abs((faults[0]?.line as number) - lineOf(text, "size: [30 mm"))).toBeLessThanOrEqual(1);
  });

  test("duplicate keys, anchors, aliases, tags, hexadecimal, undefined and infinite numbers: all at once", () => {
    const text = `${job}guide-length: 70 mm\na: &mark 1\nb: *mark\nc: !!str 5\nd: 0x1F\ne: .nan\nf: -.inf\ng: 0o17\n`;
    expect(jobFaults(text).map((fault) => fault.code)).toEqual([
      "yaml.duplicate-key",
      "yaml.anchor",
      "yaml.anchor",
      "yaml.tag",
      "yaml.number",
      "yaml.number",
      "yaml.number",
      "yaml.number",
    ]);
  });

  test("nothing, a list, two documents, a file that is no text, thousands of brackets", () => {
    expect(jobFaults("")[0]?.code).toBe("yaml.syntax");
    expect(jobFaults("- withy: 1\n")[0]?.code).toBe("yaml.syntax");
    expect(jobFaults(`${job}---\n${job}`)[0]?.code).toBe("yaml.syntax");
    expect(jobFaults(`a: ${"[".repeat(100000)}`).map((fault) => fault.code)).toEqual(["yaml.depth"]);
    expect(jobFaults(`a: ${"[".repeat(60)}${"]".repeat(60)}`).map((fault) => fault.code)).toEqual(["yaml.depth"]);
    const noText = new Map([["job.yaml", new Uint8Array([0x77, 0xff, 0xfe, 0x00])]]);
    expect(faultsOf(() => loadJob("job.yaml", noText))[0]?.code).toBe("file.text");
    expect(faultsOf(() => loadJob("job.yaml", new Map([["job.yaml", new Uint8Array(5e6)]])))[0]?.code).toBe("file.size");
  });

  test("any damage to the text is answered by a job or by faults with a place, never otherwise (seed 4)", () => {
    fc.assert(
      fc.property(
        fc.nat(job.length),
        fc.nat(40),
        fc.string({
          maxLength: 6,
          unit: fc.constantFrom("[", "]", "{", "}", ":", "-", "&", "*", "\n", "\t", " ", "#", "!", "0x1", "NaN", "'", '"', "%", "|"),
        }),
        (at, cut, put) => {
          const text = job.slice(0, at) + put + job.slice(at + cut);
          try {
            loadJob(
              "job.yaml",
              new Map([
                ["job.yaml", bytes(text)],
                ["arm.yaml", bytes(arm)],
              ]),
            );
          } catch (error) {
            if (!(error instanceof InputError)) throw error;
            expect(error.faults.length).toBeGreaterThan(0);
            for (const fault of error.faults) {
              expect(fault.file).toMatch(/yaml$/);
              expect(fault.problem.length).toBeGreaterThan(3);
              expect(fault.hint.length).toBeGreaterThan(3);
            }
          }
        },
      ),
      { seed: 4, numRuns: 300 },
    );
  }, 60_000);
});

describe("version", () => {
  test("a newer file is refused before anything else of it is judged", () => {
    const faults = jobFaults(swap(swap(job, "withy: 1", "withy: 2"), "bore:", "bohrung:"));
    expect(faults.map((fault) => fault.code)).toEqual(["version.newer"]);
    expect(faults[0]).toMatchObject({ received: "2", line: lineOf(job, "withy:") });
  });

  test("no version, and what is none", () => {
    expect(jobFaults(swap(job, "withy: 1\n", ""))[0]?.code).toBe("version.missing");
    expect(jobFaults(swap(job, "withy: 1", "withy: one"))[0]?.code).toBe("version.unknown");
    expect(jobFaults(swap(job, "withy: 1", "withy: 0"))[0]?.code).toBe("version.unknown");
    expect(faultsOf(() => loadArmText(swap(arm, "withy: 1", "withy: 9")))[0]?.code).toBe("version.newer");
  });
});

describe("files", () => {
  test.each([
    "../arm.yaml",
    "a/../../arm.yaml",
    "/etc/arm.yaml",
    "C:/arm.yaml",
    "c:arm.yaml",
    "..\\arm.yaml",
    "\\\\host\\arm.yaml",
    "file:///arm.yaml",
    "https://x/arm.yaml",
    "a//arm.yaml",
    "./",
    "'arm.yaml '",
    '"a\\u0000.yaml"',
    "..",
    ".",
  ])("%s leaves the job's folder or names no file", (path) => {
    const faults = jobFaults(swap(job, "arm: arm.yaml", `arm: ${path}`));
    expect(faults[0]).toMatchObject({ code: "file.path", path: "arm", line: lineOf(job, "arm: arm.yaml") });
  });

  test("a folder below is fine", () => {
    const text = swap(job, "arm: arm.yaml", "arm: ./arms/a..b/arm 1.yaml");
    expect(loadJob("x/job.yaml", new Map([["x/job.yaml", bytes(text)]]))).toEqual({ kind: "needs", paths: ["x/arms/a..b/arm 1.yaml"] });
  });

  test("a file that is not there is a fault at the line that names it", () => {
    const text = sampleText("gallery", "job.yaml");
    const missing = new Map([
      ["arm.yaml", "no such file"],
      ["gallery.stl", "no such file"],
    ]);
    const faults = faultsOf(() => loadJob("job.yaml", new Map([["job.yaml", bytes(text)]]), missing));
    expect(faults.map((fault) => [fault.code, fault.path, fault.line])).toEqual([
      ["file.missing", "arm", lineOf(text, "arm: arm.yaml")],
      ["file.missing", "bodies[0].file", lineOf(text, "file: gallery.stl")],
    ]);
    expect(faultsOf(() => loadJob("job.yaml", new Map(), new Map([["job.yaml", "no such file"]])))[0]?.code).toBe("file.missing");
  });

  test("a mesh that is none is a fault at the line that names it", () => {
    const text = sampleText("gallery", "job.yaml");
    for (const bad of [new Uint8Array(0), bytes("this is no mesh at all"), new Uint8Array(90)]) {
      const files = new Map([
        ["job.yaml", bytes(text)],
        ["arm.yaml", bytes(sampleText("gallery", "arm.yaml"))],
        ["gallery.stl", bad],
      ]);
      const faults = faultsOf(() => loadJob("job.yaml", files));
      expect(faults[0]).toMatchObject({ path: "bodies[0].file", file: "job.yaml", line: lineOf(text, "file: gallery.stl") });
    }
  });
});

describe("quantities", () => {
  test("of both files at once: missing unit, wrong unit, below its limit, no number", () => {
    const faults = jobFaults(
      swap(swap(swap(job, "bore: 44 mm", "bore: 44"), "cone: 25 deg", "cone: 25 mm"), "tolerance: 8 mm", "tolerance: NaN mm"),
      swap(swap(arm, "hinge: 5 mm", "hinge: -5 mm"), "bending-stiffness: 300 N mm2", "bending-stiffness: -300 N mm2"),
    );
    expect(faults.map((fault) => [fault.code, fault.file, fault.path, fault.received])).toEqual([
      ["quantity.unit", "job.yaml", "port.bore", "44"],
      ["quantity.unit", "job.yaml", "target.cone", "25 mm"],
      ["quantity.number", "job.yaml", "target.tolerance", "NaN mm"],
      ["quantity.limit", "arm.yaml", "sections.hinge", "-5 mm"],
      ["quantity.limit", "arm.yaml", "sections.hoses[0].bending-stiffness", "-300 N mm2"],
    ]);
    for (const fault of faults) expect(fault.line).toBeGreaterThan(1);
  });

  test("a range must keep its limit at both ends", () => {
    expect(jobFaults(job, swap(arm, "hinge: 5 mm", "hinge: -1 mm .. 9 mm"))[0]).toMatchObject({ code: "quantity.limit" });
    expect(jobFaults(swap(job, "cone: 25 deg", "cone: 170 deg +- 20 deg"))[0]).toMatchObject({ code: "quantity.limit" });
    expect(jobFaults(swap(job, "stand-off: 40 mm .. 80 mm", "stand-off: 80 mm .. 40 mm"))[0]).toMatchObject({
      code: "quantity.range",
      path: "target.stand-off",
    });
  });
});

describe("cross-field", () => {
  test("arm and tool thicker than the port", () => {
    const faults = jobFaults(swap(job, "bore: 44 mm", "bore: 17 mm"));
    expect(faults.map((fault) => fault.code)).toEqual(["job.port", "job.port"]);
    expect(faults[0]).toMatchObject({ path: "port.bore", problem: "is 17 mm, and the arm is 18 mm thick." });
    expect(jobFaults(swap(job, "bore: 44 mm", "bore: 34 mm"))[0]?.problem).toBe("is 34 mm, and the tool is 34 mm thick.");
  });

  test("target at the port, twice the same name, directions of no length, stand-off without its rule", () => {
    expect(jobFaults(swap(job, "place: [6 mm, 60 mm, -345 mm]", "place: [220 mm, 0 mm, 0 mm]"))[0]).toMatchObject({ code: "job.target" });
    expect(jobFaults(swap(job, "name: stay rod", "name: floor"))[0]).toMatchObject({ code: "space.name", path: "bodies[7].name" });
    expect(jobFaults(swap(job, "aim: [-0.80, 0.15, -0.58]", "aim: [0, 0, 0]"))[0]).toMatchObject({
      code: "job.direction",
      path: "target.aim",
    });
    expect(jobFaults(swap(job, "touch: never\n    stand-off", "touch: light\n    stand-off")).map((fault) => fault.path)).toEqual([
      "bodies[7].stand-off",
      "bodies[7].touch-force",
    ]);
  });

  test("a bore whose bends do not fit between their neighbours", () => {
    const bore = `  - name: pipe
    shape: bore
    points:
      - { at: [0 mm, 0 mm, 0 mm], radius: 20 mm }
      - { at: [0 mm, 0 mm, -100 mm], radius: 20 mm, bend: 120 mm }
      - { at: [300 mm, 0 mm, -100 mm], radius: 20 mm }
`;
    const [fault] = jobFaults(swap(job, "bodies:\n", `bodies:\n${bore}`));
    // a right angle needs its own radius on either side
    expect(fault).toMatchObject({
      code: "space.dimension",
      path: "bodies[0].points[1].bend",
      problem: "(pipe) is 120 mm; the bends take 120 mm of the 100 mm between points 1 and 2.",
    });
    expect(() => loadSample("box", { "job.yaml": swap(job, "bodies:\n", `bodies:\n${bore.replace("120 mm", "100 mm")}`) })).not.toThrow();
  });

  test("what the arm finds in its own description stands at the line of the arm file", () => {
    const text = swap(arm, "hole: 1.2 mm", "hole: 0.9 mm");
    expect(jobFaults(job, text)[0]).toMatchObject({
      code: "arm.cables",
      file: "arm.yaml",
      path: "sections.cables.hole",
      line: lineOf(text, "hole:"),
    });
    const two = swap(arm, "    count: 4", "    count: 2");
    expect(jobFaults(job, two)[0]).toMatchObject({ code: "arm.cables", path: "sections.cables", line: lineOf(two, "  cables:") });
    expect(jobFaults(job, swap(arm, "hinge: 5 mm", "hinge: 14 mm"))[0]).toMatchObject({ path: "sections.hinge" });
    expect(jobFaults(job, swap(arm, "hole: 1.2 mm", "hole: 3 mm")).length).toBeLessThan(8);
  });

  test("any path of the description is found in the file", () => {
    const at = (path: string) => findInArmFile("arm.yaml", bytes(arm), path);
    expect(at("sections[2].rods[0].diameter")).toMatchObject({
      path: "sections.backbone.rods[0].diameter",
      line: lineOf(arm, "backbone:"),
    });
    expect(at("sections[3].pretension")).toMatchObject({ path: "sections.cables.pretension", line: lineOf(arm, "pretension:") });
    expect(at("sections[0].hoses[0].massPerLength")).toMatchObject({ line: lineOf(arm, "mass-per-length:") });
    expect(at("tool.mass")).toMatchObject({ path: "tool.mass", line: lineOf(arm, "mass: 100 g") });
    expect(at("cableDesignFactor")).toMatchObject({ path: "cable-design-factor", line: lineOf(arm, "cable-design-factor") });
  });

  test("a material or a cable that the table does not have", () => {
    const faults = jobFaults(job, swap(swap(arm, "material: nitinol", "material: nitnol"), "stock: stainless 7x7 1.0 mm", "stock: rope"));
    expect(faults.map((fault) => [fault.code, fault.path])).toEqual([
      ["job.stock", "sections.backbone.material"],
      ["job.stock", "sections.cables.stock"],
    ]);
    expect(faults[0]?.hint).toContain("Did you mean nitinol?");
  });

  test("what excludes or needs each other", () => {
    expect(jobFaults(job, swap(arm, "  vertebra-density: 1.4 g/cm3\n", ""))[0]).toMatchObject({
      code: "shape.missing-key",
      path: "sections.vertebra-mass",
    });
    expect(jobFaults(job, swap(arm, "    count: 4", "    angles: [0 deg, 90 deg]\n    count: 4"))[0]).toMatchObject({
      code: "shape.count",
    });
    expect(jobFaults(job.replace(/^ {4}rows: .*\n/m, ""))[0]).toMatchObject({ code: "job.body", path: "bodies[6].rows" });
  });

  test("an arm of more sections, vertebrae or cables than any is refused before it is built, in no time", () => {
    const many = swap(
      swap(swap(arm, "  count: 4\n  spans: 10", "  count: 40\n  spans: 4000"), "    count: 4", "    count: 64"),
      "circle-radius: 7 mm",
      "circle-radius: 0.1 mm",
    );
    const faults = faultsOf(() => loadArmText(many));
    expect(faults.map((fault) => [fault.code, fault.path, fault.problem])).toEqual([
      ["shape.count", "sections", "make 160000 vertebrae."],
      ["shape.count", "sections", "make 2560 cables."],
    ]);
    // the most that is let through, every hole upon every other
    const most = swap(
      swap(swap(arm, "  count: 4\n  spans: 10", "  count: 40\n  spans: 100"), "    count: 4", "    count: 4"),
      "circle-radius: 7 mm",
      "circle-radius: 0.1 mm",
    );
    expect(faultsOf(() => loadArmText(most))[0]?.code).toBe("arm.cross-section");
  });

  test("keys that mean something to the language, and line ends of another system", () => {
    for (const key of ["__proto__", "constructor", "toString", "hasOwnProperty"]) {
      expect(faultsOf(() => loadArmText(`${arm}${key}: { a: 1 }\n`))[0]).toMatchObject({ code: "shape.unknown-key", path: key });
    }
    expect(loadArmText(arm.replaceAll("\n", "\r\n")).arm).toEqual(loadArmText(arm).arm);
    expect(loadArmText(`\ufeff${arm}`).arm).toEqual(loadArmText(arm).arm);
  });

  test("what the space finds in its bodies stands at the keys of the file", () => {
    const bad = [
      "  - { name: ring, shape: ring, diameter: 20 mm, bar: 20 mm }",
      "  - { name: lid, shape: plate, size: [40 mm, 50 mm], thickness: 2 mm, hole: 40 mm }",
      "  - { name: tubes, shape: tubes, diameter: 20 mm, length: 90 mm, rows: { count: 2, tubes: 2, pitch: 19 mm } }",
      "  - { name: pins, shape: tubes, diameter: 20 mm, length: 90 mm, places: [[0 mm, 0 mm], [19 mm, 0 mm]] }",
    ];
    const faults = jobFaults(swap(job, "bodies:\n", `bodies:\n${bad.join("\n")}\n`));
    const paths = [...new Set(faults.map((fault) => fault.path))];
    expect(paths).toEqual(["bodies[0].bar", "bodies[1].hole", "bodies[2].rows", "bodies[3].places[1]"]);
    for (const fault of faults) expect(fault).toMatchObject({ code: "space.dimension", file: "job.yaml" });
  });
});
