/** examples/rack against the valve gallery: what its README promises. The arms that go take half a minute of two cores: those are for the soak. */
import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { openPool } from "../../apps/worker/open-pool.ts";
import { type LoadedArm, loadArm } from "../../src/job/index.ts";
import { type RackArm, sortRack } from "../../src/study/index.ts";
import { readExample } from "./plan-example.ts";

function armOf(name: string): RackArm {
  const file = `${name}.yaml`;
  const answer = loadArm(file, new Map([[file, readFileSync(new URL(`../../examples/rack/${file}`, import.meta.url))]]));
  if (answer.kind !== "arm") throw new Error("an arm without needs");
  const { kind: _, ...loaded } = answer;
  return { file, loaded: loaded as LoadedArm };
}

async function plan(names: readonly string[]) {
  const pool = openPool(2);
  const ends = await pool.run("rack", readExample("valve-gallery"), names.map(armOf));
  pool.close();
  return sortRack(ends.map((end) => (end.kind === "done" ? end.answer.entry : { kind: "failed", file: "", arm: "", says: end.kind })));
}

describe("the rack for the valve gallery", () => {
  test("its own arm is the job's", () => {
    expect(armOf("twin-seven").loaded.arm).toEqual(readExample("valve-gallery").arm);
  });

  test("one arm is much too short, one does not go through the port", async () => {
    const [short, thick] = await plan(["side-hung-four", "stiff-three"]);
    // 27 spans of 13 mm, 45 mm of burr, 60 mm of guide: 336 mm; the way is longer than the straight line to the weld, 681 mm, less 60 mm of stand-off
    expect(short).toMatchObject({ file: "stiff-three.yaml", kind: "planned", drives: 12, reach: { allowed: expect.closeTo(0.336, 6) } });
    if (short?.kind === "planned") expect(short.reach?.found).toBeGreaterThan(0.62);
    expect(thick).toMatchObject({ file: "side-hung-four.yaml", kind: "faulty", faults: [{ code: "job.port" }] });
  });

  test.runIf(process.env["WITHY_SOAK"] === "1")("three go, one twists and sags away from its way", { timeout: 600_000 }, async () => {
    const entries = await plan(["single-six", "slim-seven", "twin-seven", "twin-eight"]);
    const said = entries.map((entry) => [entry.file, entry.kind === "planned" && entry.answer]);
    expect(said.slice(0, 3).map(([, answer]) => answer)).toEqual(Array(3).fill("go with conditions"));
    expect(said[3]).toEqual(["single-six.yaml", "no go"]);
    const single = entries[3];
    if (single?.kind === "planned") expect(single.reasons.join()).toMatch(/Twist.*Sag/);
  });
});
