/** A rack against a job: each arm's entry is that of a plan made by itself, in any order, whole or gone on with. */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { type Job, type LoadedArm, loadArm, loadJob } from "../../src/job/index.ts";
import {
  createRackState,
  createRackWork,
  isRackDone,
  type RackArm,
  type RackEntry,
  type RackModel,
  type RackState,
  rackProgress,
  readRack,
  sortRack,
  stepRack,
} from "../../src/study/index.ts";
import { planJob } from "../examples/plan-example.ts";

const folder = new URL("../browser/duct/", import.meta.url);
const text = (name: string): string => readFileSync(new URL(name, folder), "utf8");
const bytes = (from: string): Uint8Array => new TextEncoder().encode(from);

function openDuct(arm: string): Job {
  const answer = loadJob("job.yaml", new Map([["job.yaml", bytes(text("job.yaml"))], ["arm.yaml", bytes(arm)]])); // biome-ignore format: short
  if (answer.kind !== "job") throw new Error("the duct's files are incomplete");
  return answer.job;
}

function armOf(file: string, from: string): RackArm {
  const answer = loadArm(file, new Map([[file, bytes(from)]]));
  if (answer.kind !== "arm") throw new Error("an arm without needs");
  const { kind: _, ...loaded } = answer;
  return { file, loaded: loaded as LoadedArm };
}

const own = text("arm.yaml");
const texts = {
  "thick.yaml": own.replace("diameter: 14 mm", "diameter: 24 mm").replace("name: twin three", "name: thick"),
  "short.yaml": own.replace("spans: 7", "spans: 2").replace("name: twin three", "name: short"),
  "as-it-is.yaml": own,
};
const arms = Object.entries(texts).map(([file, from]) => armOf(file, from));
const job = openDuct(own);

function run(model: RackModel, state: RackState = createRackState(model)): RackState {
  const work = createRackWork();
  while (!isRackDone(state)) stepRack(model, state, work);
  return state;
}

describe("a rack of three arms against the short duct", () => {
  const model: RackModel = { job, arms };
  const state = run(model);
  const entries = readRack(model, state);
  const entryOf = (file: string) => entries.find((entry) => entry.file === file) as RackEntry;

  it("gives each arm what a plan of the job with that arm in its file gives", () => {
    for (const file of ["as-it-is.yaml", "short.yaml"] as const) {
      const { result } = planJob(openDuct(texts[file]));
      const { verdict } = result;
      const entry = entryOf(file);
      if (entry.kind !== "planned") throw new Error(`${file} was not planned`);
      expect([entry.answer, entry.says, entry.reasons]).toEqual([verdict.answer, verdict.says, verdict.reasons]);
      const reach = verdict.rows.find(({ id }) => id === "reach");
      expect([entry.reach?.found, entry.reach?.allowed]).toEqual([reach?.demand, reach?.limit]);
      expect(entry.shape?.frames).toEqual(result.wayIn.at(-1)?.frames);
    }
    const goes = entryOf("as-it-is.yaml");
    expect(goes).toMatchObject({ answer: "go with conditions", drives: 9, sections: 3, arm: "twin three" });
    expect(entryOf("short.yaml")).not.toMatchObject({ answer: expect.stringMatching(/^go/) });
  });

  it("names the arm that does not go through the port, with its fault, and plans the others", () => {
    expect(entryOf("thick.yaml")).toMatchObject({ kind: "faulty", arm: "thick", faults: [{ code: "job.port", path: "port.bore" }] });
    expect(entries.map(({ file }) => file)).toEqual(["as-it-is.yaml", "short.yaml", "thick.yaml"]);
  });

  it("gives the same whatever the order of the arms", () => {
    const turned: RackModel = { job, arms: [...arms].reverse() };
    expect(readRack(turned, run(turned))).toEqual(entries);
  });

  it("goes on from a saved state with fresh work, to the same bits, with progress that never falls", () => {
    let saved = createRackState(model);
    let before = 0;
    while (!isRackDone(saved)) {
      saved = structuredClone(saved);
      const work = createRackWork();
      for (let n = 0; n < 40 && !isRackDone(saved); n++) stepRack(model, saved, work);
      const { done } = rackProgress(model, saved);
      expect(done).toBeGreaterThanOrEqual(before);
      before = done;
    }
    expect(before).toBe(1);
    expect(readRack(model, saved)).toEqual(entries);
  });

  it("keeps the ranges of the job and of the arm that is in it, and tells both files", () => {
    const one = {
      ...arms[2],
      loaded: { ...(arms[2] as RackArm).loaded, ranges: { "as-it-is.yaml#x": { nominal: 1, low: 0, high: 2 } } },
    } as RackArm;
    const ranged: Job = {
      ...job,
      ranges: { "arm.yaml#y": { nominal: 1, low: 0, high: 2 }, "job.yaml#z": { nominal: 1, low: 0, high: 2 } },
    };
    const place = run({ job: ranged, arms: [one] }).places[0];
    const result = place?.stage === "ended" ? place.result : undefined;
    expect(result?.inputs.map(({ file }) => file)).toEqual(["job.yaml", "as-it-is.yaml"]);
    expect(result?.verdict.assumptions.join()).toContain("2 values are written with a range");
  });
});

describe("the order of a rack", () => {
  const planned = (file: string, answer: "go with conditions" | "no go" | "undecided", use: number): RackEntry => {
    const worst = { title: "", use, found: 0, allowed: 0, whereSays: "" };
    return { kind: "planned", file, arm: file, sections: 1, drives: 3, answer, says: "", reasons: [], worst };
  };

  it("is: arms that can, the least used first; those that cannot; those not known; those not planned; faulty ones", () => {
    const entries: RackEntry[] = [
      { kind: "faulty", file: "f", faults: [] },
      { kind: "waiting", file: "w", arm: "w" },
      planned("e", "undecided", Number.NaN),
      planned("d", "no go", Number.POSITIVE_INFINITY),
      planned("c", "no go", 1.2),
      planned("b", "go with conditions", 0.9),
      planned("a2", "go with conditions", 0.5),
      planned("a1", "go with conditions", 0.5),
    ];
    expect(sortRack(entries).map(({ file }) => file)).toEqual(["a1", "a2", "b", "c", "d", "e", "w", "f"]);
  });
});
