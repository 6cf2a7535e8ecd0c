import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { contentHash, loadJob } from "../../src/job/index.ts";
import { bytes, exampleFile, exampleNames, faultsOf, loadArmText, loadExample, loadSample, sampleText, swap } from "./example.ts";

describe("a job is loaded", () => {
  test("in as many rounds as files name files", () => {
    const files = new Map<string, Uint8Array>();
    expect(loadJob("d/job.yaml", files)).toEqual({ kind: "needs", paths: ["d/job.yaml"] });
    files.set("d/job.yaml", bytes(sampleText("gallery", "job.yaml")));
    expect(loadJob("d/job.yaml", files)).toEqual({ kind: "needs", paths: ["d/arm.yaml", "d/gallery.stl"] });
  });

  test.each(exampleNames)("example %s: all files fingerprinted, arm can be built, of a size that fits", (name) => {
    const job = loadExample(name);
    for (const { file, hash } of job.inputs) expect(hash).toBe(contentHash(exampleFile(name, file)));
    expect(createArm(job.arm).spans).toBe(job.arm.sections.reduce((sum, section) => sum + section.spans, 0));
    expect(job.remarks.filter((remark) => /unit|outside/.test(remark))).toEqual([]);
    for (const direction of [job.port.axis, job.target.direction]) {
      expect(Math.hypot(...direction)).toBeCloseTo(1, 14);
    }
  });

  test("8 sections of 3 cables are 24 drives (common practice, no source); 7 are 21, 4 of 4 are 16", () => {
    expect(exampleNames.map((name) => createArm(loadExample(name).arm).cables)).toEqual([21, 24, 16]);
  });

  test("what gives while drives are locked is left out until written; a damping written with a range keeps it", () => {
    const text = sampleText("gallery", "arm.yaml");
    const plain = loadArmText(text).arm;
    expect([plain.conduitStiffness, plain.driveStiffness, plain.damping]).toEqual([undefined, undefined, undefined]);
    const more = (damping: string): string => `${text}\nconduit-stiffness: 8 kN\ndrive-stiffness: 40 N/mm\ndamping: ${damping}\n`;
    const { arm } = loadArmText(more("0.03 .. 0.07"));
    expect([arm.conduitStiffness, arm.driveStiffness]).toEqual([8000, 40_000]);
    expect(arm.damping).toEqual({ nominal: 0.05, low: 0.03, high: 0.07 });
    expect(loadArmText(more("4 %")).arm.damping).toEqual({ nominal: 0.04, low: 0.04, high: 0.04 });
    expect(faultsOf(() => loadArmText(more("1.5"))).map((f) => [f.code, f.path])).toEqual([["quantity.limit", "damping"]]);
  });

  test("stops, play and what holds the arm: left out until written, ranges kept", () => {
    const text = sampleText("gallery", "arm.yaml");
    const plain = loadArmText(text).arm;
    const first = plain.sections[0];
    expect([first?.stopStiffness, first?.play, plain.base]).toEqual([undefined, undefined, undefined]);
    const written = text.replace("  pitch:", "  stop-stiffness: 300 N m/rad\n  play:\n    bend: 0.1 deg .. 0.3 deg\n  pitch:");
    const { arm } = loadArmText(`${written}\nbase:\n  guide-play: 0.5 mm\n  guide-grip: 60 mm\n`);
    const degree = Math.PI / 180;
    expect(arm.sections[0]?.stopStiffness).toBe(300);
    expect(arm.sections[0]?.play?.bend.high).toBeCloseTo(0.3 * degree, 14);
    expect(arm.sections[0]?.play?.twist.high).toBe(0);
    expect(arm.base).toEqual({ guidePlay: { nominal: 0.5e-3, low: 0.5e-3, high: 0.5e-3 }, guideGrip: 0.06 });
    const gives = "base:\n  turn: [1 mrad/(N m), 0.1 deg/(N m), 0 rad/(N m)]\n  shift: [2 um/N, 0 m/N, 1e-3 mm/N]\n";
    const told = loadArmText(`${text}\n${gives}`).arm.base?.compliance ?? [];
    [1e-3, 0.1 * degree, 0, 2e-6, 0, 1e-6].forEach((value, k) => {
      expect(told[k]).toBeCloseTo(value, 15);
    });
    const whole = Array.from({ length: 36 }, (_, k) => (k % 7 === 0 ? 1e-3 : 0));
    expect(loadArmText(`${text}\nbase:\n  compliance: [${whole.join(", ")}]\n`).arm.base?.compliance).toEqual(whole);
    expect(faultsOf(() => loadArmText(`${text}\n${gives}  compliance: [${whole.join(", ")}]\n`)).map((f) => [f.code, f.path])).toEqual([
      ["shape.count", "base.compliance"],
    ]);
    expect(faultsOf(() => loadArmText(`${text}\nbase:\n  guide-play: 0.5 mm\n`)).map((f) => [f.code, f.path])).toEqual([
      ["arm.value", "base.guide-grip"],
    ]);
  });

  test("who rolls: the pack, or cables that wind over a length", () => {
    const text = sampleText("gallery", "job.yaml");
    const rollOf = (more: string) => loadSample("gallery", { "job.yaml": `${text}\n${more}` }).roll;
    expect(rollOf("")).toBeUndefined();
    expect(rollOf("roll:\n  most-turns: 1.5\n")).toEqual({ carries: "pack", mostTurns: 1.5 });
    expect(rollOf("roll:\n  carries: cables\n  winding-length: 300 mm\n")).toEqual({ carries: "cables", windingLength: 0.3 });
    for (const wrong of ["carries: cables", "winding-length: 1 m"]) {
      expect(faultsOf(() => rollOf(`roll:\n  ${wrong}\n`)).map((f) => f.path)).toEqual(["roll.winding-length"]);
    }
  });

  test("values in SI", () => {
    const job = loadSample("gallery");
    expect(job.port).toMatchObject({ bore: 0.02, wall: 0.012, centre: [0, 0, 0], axis: [0, 0, -1] });
    expect(job.target.standOff).toEqual([0.03, 0.06]);
    expect(job.conditions.gravity).toEqual([0, 0, -9.80665]);
    expect(job.limits).toEqual({ clearance: 0.0015, sag: 0.025, twist: (15 * Math.PI) / 180 });
    expect(job.ranges).toEqual({});
    const mesh = job.bodies[0]?.shape;
    expect(mesh?.kind === "mesh" && mesh.unit).toBe(1e-3);
    expect(job.bodies[0]?.touch).toEqual({ kind: "free" });
    expect(job.bodies[2]?.touch).toEqual({ kind: "never", standOff: 0.001 });
  });

  test("defaults stand where keys are absent", () => {
    const text = sampleText("box", "job.yaml").replace(/^limits:[\s\S]*$/m, "");
    const job = loadSample("box", { "job.yaml": text });
    expect(job.limits).toEqual({ clearance: 0.002, sag: 0.02, twist: (15 * Math.PI) / 180 });
    expect(job.guideLength).toBe(0.06);
    expect(job.conditions.gravity[2]).toBe(-9.80665);
  });

  test("gravity as a vector", () => {
    const text = `${sampleText("box", "job.yaml")}conditions:\n  gravity: [0 m/s2, 9.81 m/s2, 0 m/s2]\n`;
    expect(loadSample("box", { "job.yaml": text }).conditions.gravity).toEqual([0, 9.81, 0]);
  });

  describe("what the machine is filled with", () => {
    const withFluid = (lines: string) => loadSample("box", { "job.yaml": `${sampleText("box", "job.yaml")}conditions:\n${lines}` });

    test("not said, dry, or a fluid; the drag coefficient is a range when left out", () => {
      expect(loadSample("box").conditions).not.toHaveProperty("fluid");
      expect(withFluid("  fluid: dry\n").conditions.fluid).toBe("dry");
      const still = withFluid("  fluid: { density: 1.025 g/cm3, current: [0 m/s, 0 m/s, 0 m/s] }\n");
      expect(still.conditions.fluid).toEqual({ density: 1025 });
      expect(still.ranges["job.yaml#conditions.fluid.drag-coefficient"]).toEqual({ nominal: 1.2, low: 1, high: 1.4 });
    });

    test("its surface lies across gravity", () => {
      const job = withFluid(
        "  gravity-direction: [0, 2, 0]\n  fluid:\n    density: 998 kg/m3 +- 2 kg/m3\n    surface: [1 m, 20 mm, 0 m]\n" +
          "    current: [0.5 m/s, -30 mm/s, 1 ft/s]\n    drag-coefficient: 1.1\n",
      );
      expect(job.conditions.fluid).toEqual({
        density: 998,
        surface: { at: [1, 0.02, 0], up: [expect.closeTo(0, 15), -1, expect.closeTo(0, 15)] },
        current: { velocity: [0.5, -0.03, expect.closeTo(0.3048, 15)], dragCoefficient: 1.1 },
      });
      expect(job.ranges["job.yaml#conditions.fluid.density"]).toEqual({ nominal: 998, low: 996, high: 1000 });
    });

    test.each([
      ["  fluid: wet\n", "shape.choice", "conditions.fluid"],
      ["  fluid: { densty: 1000 kg/m3, density: 1000 kg/m3 }\n", "shape.unknown-key", "conditions.fluid.densty"],
      ["  fluid: {}\n", "shape.missing-key", "conditions.fluid.density"],
      ["  fluid: { density: 0 kg/m3 }\n", "quantity.limit", "conditions.fluid.density"],
      ["  fluid: { density: 1000 kg/m3, drag-coefficient: -1 }\n", "quantity.limit", "conditions.fluid.drag-coefficient"],
      [
        "  gravity: [0 m/s2, 0 m/s2, 0 m/s2]\n  fluid: { density: 1 g/cm3, surface: [0 m, 0 m, 0 m] }\n",
        "job.fluid",
        "conditions.fluid.surface",
      ],
    ])("%s is refused as %s at %s", (lines, code, path) => {
      expect(faultsOf(() => withFluid(lines)).map((fault) => [fault.code, fault.path])).toEqual([[code, path]]);
    });
  });

  test("a drum of the arm: what it leaves out, and what it says", () => {
    const withDrum = (lines: string) => loadSample("box", { "arm.yaml": `${sampleText("box", "arm.yaml")}drum:\n${lines}` }).arm;
    expect(loadSample("box").arm).not.toHaveProperty("drum");
    const plain = withDrum("  core-diameter: 300 mm\n");
    const widest = Math.max(...plain.sections.map((section) => section.outerDiameter));
    expect(plain.drum).toEqual({
      radius: 0.15,
      lay: "helix",
      pitch: 1.05 * widest,
      bentBy: "sections",
      start: 0,
      friction: { nominal: expect.closeTo(0.2, 12), low: 0.1, high: 0.3 },
      pull: 0,
    });
    expect(withDrum("  core-diameter: 300 mm\n  lay: spiral\n  cover: 2 mm\n  roll: 90 deg\n  friction: 0.15\n").drum).toMatchObject({
      lay: "spiral",
      cover: 2e-3,
      roll: Math.PI / 2,
      friction: { nominal: 0.15, low: 0.15, high: 0.15 },
    });
    expect(faultsOf(() => withDrum("  core-diameter: 0 mm\n")).map((fault) => [fault.code, fault.path])).toEqual([
      ["quantity.limit", "drum.core-diameter"],
    ]);
  });

  describe("temperature", () => {
    const withConditions = (lines: string) => loadSample("box", { "job.yaml": `${sampleText("box", "job.yaml")}conditions:\n${lines}` });

    test("not said; a range against 20 degC; conduits of their own; one value is both ends", () => {
      expect(loadSample("box").conditions).not.toHaveProperty("temperature");
      const { temperature } = withConditions("  temperature: -10 degC .. 60 degC\n").conditions;
      expect(temperature?.setUp).toBeCloseTo(293.15, 9);
      expect(temperature?.arm.map((k) => k - 273.15)).toEqual([expect.closeTo(-10, 9), expect.closeTo(60, 9)]);
      const other = withConditions("  temperature: 300 K\n  outside-temperature: 68 degF\n  set-up-temperature: 50 degF\n").conditions;
      expect(other.temperature?.arm).toEqual([300, 300]);
      expect(other.temperature?.conduit?.[0]).toBeCloseTo(293.15, 9);
      expect(other.temperature?.setUp).toBeCloseTo(283.15, 9);
    });

    test.each([
      ["  outside-temperature: 20 degC\n", "job.temperature", "conditions.outside-temperature"],
      ["  temperature: 20\n", "quantity.unit", "conditions.temperature"],
      ["  temperature: -300 degC\n", "quantity.limit", "conditions.temperature"],
    ])("%s is refused as %s at %s", (lines, code, path) => {
      expect(faultsOf(() => withConditions(lines)).map((fault) => [fault.code, fault.path])).toEqual([[code, path]]);
    });

    test("a guide that is said to grip over more than its own length is refused; so is a conduit that turns beyond reason", () => {
      const arm = (more: string): string => `${sampleText("box", "arm.yaml").trimEnd()}\n${more}\n`;
      const long = arm("base: { guide-play: 1 mm, guide-grip: 500 mm }");
      expect(faultsOf(() => loadSample("box", { "arm.yaml": long })).map((fault) => [fault.code, fault.path])).toEqual([
        ["job.guide", "guide-length"],
      ]);
      const turns = arm("friction: { conduit-turn: 100000 deg }");
      expect(faultsOf(() => loadSample("box", { "arm.yaml": turns })).map((fault) => [fault.code, fault.path])).toEqual([
        ["quantity.limit", "friction.conduit-turn"],
      ]);
    });

    test("materials and cables of one's own have their expansion, creep and plateau", () => {
      const own =
        "material: { name: wire, young-modulus: 60 GPa, poisson-ratio: 0.33, density: 6450 kg/m3, allowed-strain: 4 %, fatigue-strain: 0.4 %, " +
        "expansion: 11 um/m/K, linear-strain: 0.8 %, plateau-modulus: 1 GPa, plateau-rise: 6.5 MPa/K }";
      const text = sampleText("box", "arm.yaml").replace(/material: \w+/, own);
      const { material } = loadSample("box", { "arm.yaml": text }).arm.sections[0]!.rods[0]!;
      expect(material).toMatchObject({ expansion: 11e-6, linearStrain: 0.008, plateauModulus: 1e9, plateauRise: 6.5e6 });
      const wrong = text.replace("plateau-modulus: 1 GPa", "plateau-modulus: 70 GPa");
      expect(faultsOf(() => loadSample("box", { "arm.yaml": wrong })).map((fault) => fault.code)).toContain("arm.value");
    });
  });

  test("every value written with a range is kept by file and path", () => {
    const job = loadSample("box", {
      "job.yaml": swap(sampleText("box", "job.yaml"), "bore: 44 mm", "bore: 43 mm .. 45 mm"),
      "arm.yaml": swap(sampleText("box", "arm.yaml"), "pretension: 8 N", "pretension: 8 N +- 2 N"),
    });
    expect(job.port.bore).toBeCloseTo(0.044, 15);
    expect(job.ranges).toEqual({
      "job.yaml#port.bore": { nominal: 0.044, low: 0.043, high: 0.045 },
      "arm.yaml#sections.cables.pretension": { nominal: 8, low: 6, high: 10 },
    });
  });

  test("turn: about the fixed x, then y, then z axis", () => {
    const text = swap(sampleText("box", "job.yaml"), "turn: [-90 deg, 0 deg, 0 deg]", "turn: [90 deg, 0 deg, 90 deg]");
    const rotation = loadSample("box", { "job.yaml": text }).bodies.at(-1)?.placement.rotation as number[];
    // by hand: z goes to -y by the first turn, to +x by the last; x stays, then goes to +y
    expect([rotation[2], rotation[5], rotation[8]]).toEqual([1, 0, 0]);
    expect([rotation[0], rotation[3], rotation[6]]).toEqual([0, 1, 0]);
  });

  test("any turn is a rotation", () => {
    const text = swap(sampleText("box", "job.yaml"), "turn: [-90 deg, 0 deg, 0 deg]", "turn: [12 deg, -57 deg, 201 deg]");
    const r = loadSample("box", { "job.yaml": text }).bodies.at(-1)?.placement.rotation as number[];
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) {
        const dot = [0, 1, 2].reduce((sum, k) => sum + (r[3 * i + k] as number) * (r[3 * j + k] as number), 0);
        expect(dot).toBeCloseTo(i === j ? 1 : 0, 14);
      }
    }
  });

  test("a bundle in rows: triangles of one pitch when staggered", () => {
    const shape = loadSample("box").bodies.find((body) => body.name === "tube bundle")?.shape;
    if (shape?.kind !== "tubes") throw new Error("no tubes");
    expect(shape.places).toHaveLength(120);
    const nearest = shape.places.map((a, i) =>
      Math.min(...shape.places.filter((_, j) => j !== i).map((b) => Math.hypot(a[0] - b[0], a[1] - b[1]))),
    );
    for (const gap of nearest) expect(gap).toBeCloseTo(0.034, 12);
    const middle = shape.places.reduce((sum, place) => sum + place[1], 0);
    expect(middle).toBeCloseTo(0, 12);
  });

  test("a mesh whose unit makes it a thousand times too large is loaded as written, with a remark", () => {
    const text = swap(sampleText("gallery", "job.yaml"), "unit: mm", "unit: m");
    const job = loadSample("gallery", { "job.yaml": text });
    expect(job.bodies[0]?.shape).toMatchObject({ unit: 1 });
    expect(job.remarks).toHaveLength(1);
    // the box of the sample is 110 x 110 x 900 of its own units
    expect(job.remarks[0]).toMatch(/^gallery is 913\.\d m from corner to corner.*as mm it is 900 mm/);
  });
});

describe("an arm is loaded", () => {
  const arm = sampleText("gallery", "arm.yaml");

  test("zero pretension is no fault: what it does is for the solver to say", () => {
    expect(loadArmText(swap(arm, "pretension: 6 N", "pretension: 0 N")).arm.sections[0]?.pretension).toBe(0);
  });

  test("cables of the j-th of n sections of m are turned by j * 360 / (n m) degrees", () => {
    const { sections } = loadArmText(arm).arm;
    sections.forEach((section, j) => {
      section.cableAngles.forEach((angle, k) => {
        expect((angle * 180) / Math.PI).toBeCloseTo(120 * k + (j * 360) / 21, 10);
      });
    });
    const all = sections.flatMap((section) => section.cableAngles).sort((a, b) => a - b);
    all.forEach((angle, k) => {
      expect(angle).toBeCloseTo((2 * Math.PI * k) / 21, 10);
    });
  });

  test("a list of sections gives the same as the pattern that repeats", () => {
    const pattern = /sections:\n([\s\S]*?)tool:/.exec(arm)?.[1] ?? "";
    const item = pattern
      .replace(/^ {2}count: 7.*\n/, "")
      .replace(/^ {2}/gm, "    ")
      .replace(/^ {4}/, "  - ");
    const list = arm.replace(pattern, item.repeat(7));
    expect(loadArmText(list).arm).toEqual(loadArmText(arm).arm);
  });

  test("a vertebra's mass from its material: disc less channel, rods in both places, and the cables that run through", () => {
    const { sections } = loadArmText(arm).arm;
    sections.forEach((section, j) => {
      const area = (Math.PI / 4) * (16 ** 2 - 5 ** 2 - 4 * 1 ** 2 - 3 * (7 - j) * 0.8 ** 2);
      expect(section.vertebraMass * 1e3).toBeCloseTo(area * 7.5 * 1.4e-3, 10);
    });
  });

  test("the joint limit is where the rims meet, when none is given", () => {
    const { sections } = loadArmText(swap(arm, "  joint-limit: 10 deg\n", "")).arm;
    expect(sections[0]?.jointLimit).toBeCloseTo((2 * 3.2) / 16, 12);
  });

  test("rods one by one, material and cable by their numbers", () => {
    const text = arm
      .replace(
        / {2}backbone:[\s\S]*? {2}cables:/,
        `  backbone:
    layout: rods
    rods:
      - { x: 4 mm, y: 0 mm, diameter: 1 mm, material: spring steel, attachment: sliding }
      - x: -4 mm
        y: 0 mm
        diameter: 1 mm
        material: { name: own, young-modulus: 70 GPa, poisson-ratio: 0.3, density: 6500 kg/m3, allowed-strain: 3 %, fatigue-strain: 0.4 % }
  cables:`,
      )
      .replace(
        "stock: stainless 7x7 0.6 mm",
        "stock: { name: braid, diameter: 0.5 mm, effective-modulus: 60 GPa, breaking-load: 300 N, mass-per-length: 0.3 g/m }",
      );
    const section = loadArmText(text).arm.sections[0];
    expect(section?.alternating).toBe(false);
    expect(section?.rods[0]).toMatchObject({ x: 0.004, attachment: "sliding", material: { name: "spring steel" } });
    expect(section?.rods[1]).toMatchObject({ x: -0.004, attachment: "clamped", material: { youngModulus: 7e10, allowedStrain: 0.03 } });
    expect(section?.cable).toEqual({ name: "braid", diameter: 0.0005, effectiveModulus: 6e10, breakingLoad: 300, massPerLength: 3e-4 });
  });

  test("an arm without a tool carries nothing", () => {
    const text = arm.replace(/^tool:[\s\S]*?(?=^conduit)/m, "");
    expect(loadArmText(text).arm.tool).toMatchObject({ mass: 0, length: 0, diameter: 0 });
  });
});

test("a file's name may lie in any folder: paths are taken from there", () => {
  const files = new Map([["/home/marl/1/job.yaml", bytes(sampleText("box", "job.yaml"))]]);
  expect(loadJob("/home/marl/1/job.yaml", files)).toEqual({ kind: "needs", paths: ["/home/marl/1/arm.yaml"] });
});
