/**
 * Makes the tables of examples/measured-arm by the rigid-body engine, with noise and one misread row: `npx tsx test/fit/make-example.ts`.
 * True values: backbone modulus 0.91 of the file's, cables and drives 1.3 times as soft.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { type ArmDescription, type ArmModel, createArm } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import { applyParameters, untouched } from "../../src/fit/index.ts";
import { loadArm } from "../../src/job/index.ts";
import { cableStiffness } from "../../src/rod/index.ts";
import { settleInEngine } from "../rod/engine.ts";
import { normal } from "./made-tables.ts";

const folder = new URL("../../examples/measured-arm/", import.meta.url);
const loaded = loadArm("arm.yaml", new Map([["arm.yaml", new Uint8Array(readFileSync(new URL("arm.yaml", folder)))]]));
if (loaded.kind !== "arm") throw new Error("an arm file needs no other");
const truth = applyParameters(loaded.arm, { ...untouched, stiffness: 0.91, stretch: 1.3 });
const random = createRandom(46);

/** Up is the arm's own y, as on the fit's bench. The hinges of the engine, points, soften under tension more than an arc: none of it. */
const down: [number, number, number] = [0, -9.80665, 0];
const hold = 0;

/** The arm with so many of its first spans in the guide, and a mass at the tool point. */
function bench(description: ArmDescription, hidden: number, hung: number): ArmModel {
  const { tool } = description;
  const mass = tool.mass + hung;
  const centre = tool.centre.map((c, k) => (tool.mass * c + hung * (k === 2 ? tool.length : 0)) / mass) as [number, number, number];
  const sections = description.sections.map((s, j) => (j === 0 ? { ...s, spans: s.spans - hidden } : s));
  return createArm({ ...description, sections, tool: { ...tool, mass, centre } });
}

const rows: string[] = [];
for (const hidden of [0, 5]) {
  for (const grams of [0, 15, 30, 45, 60]) {
    const arm = bench(truth, hidden, grams / 1000);
    const { place, tipTurn } = await settleInEngine(arm, { gravity: down, forces: [] }, new Array(arm.cables).fill(hold), 30);
    const height = 1e3 * ((place[3 * arm.spans + 1] as number) + (tipTurn[5] as number) * 0.03) + 0.3 * normal(random);
    rows.push(`${grams},${hold},${270 - 12 * hidden},${height.toFixed(1)},`);
  }
}
// a slip of the hand: two digits the wrong way round
const slip = rows[6] as string;
rows[6] = slip.replace(/,(-?)(\d)(\d)(\.\d),$/, ",$1$3$2$4,");
writeFileSync(
  new URL("droop.csv", folder),
  `# Marl Quay 2, bench, arm flat, all eight cables let loose; masses on the probe's end; height by a ruler on the guide
load (g),hold (N),length out (mm),height (mm),note
${rows.join("\n")}
`,
);

const pulls: string[] = [];
const arm = bench(truth, 0, 0);
const stiffness = Array.from({ length: arm.cables }, (_, c) => cableStiffness(arm, c));
// straight under the pretension of all cables in a span, by hand: each span is shorter by F l / EA
const straight = (c: number): number => {
  let sum = 0;
  for (let i = 0; i < (arm.firstSpan[(arm.sectionOfCable[c] as number) + 1] as number); i++) {
    const pull = 8 * (arm.cables - (arm.firstCable[arm.sectionOfSpan[i] as number] as number));
    sum += (arm.flexible[i] as number) * (1 - pull / (arm.stiffness[16 * i + 15] as number));
  }
  return sum;
};
for (const draw of [0, 0.5, 1, 1.5, 2, 2.5, 3]) {
  const free = stiffness.map((k, c) => straight(c) - 8 / k - (c === 0 ? draw / 1000 : 0));
  const settled = await settleInEngine(arm, { gravity: down, forces: [] }, new Array(arm.cables).fill(0), 30, { free, stiffness });
  const tension = (stiffness[0] as number) * ((settled.cableLength[0] as number) - (free[0] as number));
  pulls.push(`${draw},${(tension + 0.2 * normal(random)).toFixed(1)}`);
}
writeFileSync(
  new URL("pull.csv", folder),
  `# Marl Quay 2, bench, arm flat; drive of cable 1 drawn in, the others locked at 8 N; load cell at the drive
draw 1 (mm),tension 1 (N)
${pulls.join("\n")}
`,
);
