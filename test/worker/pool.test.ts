import { readFileSync } from "node:fs";
import { afterEach, describe, expect, it } from "vitest";
import { openPool, threadsOf } from "../../apps/worker/open-pool.ts";
import { type BatchCaller, createPool, type Pool, type TaskNews } from "../../apps/worker/pool.ts";
import type { TaskEnd } from "../../apps/worker/task.ts";
import { type Job, loadJob } from "../../src/job/index.ts";
import { createPlan, createPlanState, createPlanWork, readPlan, stepPlan } from "../../src/plan/index.ts";
import type { OddAnswer, OddInput, OddState } from "./odd-tasks.ts";

type End = TaskEnd<OddState, OddAnswer>;
const entry = new URL("./odd-thread.js", import.meta.url);
const pools: Pool[] = [];
afterEach(() => pools.splice(0).forEach((pool) => pool.close()));

function oddPool(cores: number, file = entry) {
  const pool = createPool(threadsOf(file), cores);
  pools.push(pool);
  const run = pool.run as unknown as (
    kind: string,
    common: { start: number },
    inputs: readonly OddInput[],
    caller?: BatchCaller<OddState, OddAnswer>,
  ) => Promise<End[]>;
  return {
    pool,
    run: (inputs: readonly OddInput[], caller?: BatchCaller<OddState, OddAnswer>, start = 0.5) => run("odd", { start }, inputs, caller),
  };
}

const count = (steps: number, wait = 0): OddInput => ({ does: "count", steps, wait });
const does = (what: OddInput["does"], steps = 3, wait = 1): OddInput => ({ does: what, steps, wait });

/** What `steps` steps give, by the definition alone. */
function sumOf(steps: number, start = 0.5): number {
  let sum = start;
  for (let k = 1; k <= steps; k++) sum = Math.sin(sum + k);
  return sum;
}

const sums = (ends: readonly End[]): number[] => ends.map((end) => (end.kind === "done" ? end.answer.sum : Number.NaN));

describe("a pool of threads", { timeout: 120_000 }, () => {
  it("answers in the order asked, the same on one thread and on three", async () => {
    const inputs = Array.from({ length: 40 }, (_, k) => count(1 + ((7 * k) % 40), 0.2));
    const wanted = inputs.map(({ steps }) => sumOf(steps));
    for (const cores of [1, 3]) expect(sums(await oddPool(cores).run(inputs))).toEqual(wanted);
  });

  it("keeps its threads from batch to batch, and takes several batches at once", async () => {
    const { run } = oddPool(1);
    const ends = await Promise.all([run([count(3)]), run([count(4)], {}, 2), run([count(5)])]);
    expect(sums(ends.flat())).toEqual([sumOf(3), sumOf(4, 2), sumOf(5)]);
    expect(ends.flat().map((end) => end.kind === "done" && end.answer.opened)).toEqual([1, 2, 3]);
  });

  it("says how far each task is", async () => {
    const news: TaskNews<OddState, OddAnswer>[] = [];
    await oddPool(2).run([count(60, 10), count(3)], { heard: (one) => news.push(one) });
    const told = news.filter((one) => one.kind === "progress" && one.index === 0).map((one) => (one.kind === "progress" ? one.done : 0));
    expect(told.length).toBeGreaterThan(1);
    expect(told).toEqual([...told].sort((a, b) => a - b));
    expect(news.filter((one) => one.kind === "end").map((one) => one.index)).toEqual([1, 0]);
  });

  it("lets no task that fails take others with it", async () => {
    const ends = await oddPool(2).run([count(5), does("throw"), does("fault"), count(6)]);
    expect(ends.map((end) => end.kind)).toEqual(["done", "failed", "faults", "done"]);
    expect(ends[1]).toMatchObject({ says: expect.stringContaining("thrown on purpose") });
    expect(ends[2]).toMatchObject({ faults: [{ path: "x" }] });
    const none = await oddPool(1).run([count(5), count(6)], {}, -1);
    expect(none.map((end) => end.kind === "faults" && end.faults[0]?.path)).toEqual(["start", "start"]);
  });

  it("says that a thread ended, begins its task once more from what was saved, and gives it up at the second time", async () => {
    const news: TaskNews<OddState, OddAnswer>[] = [];
    const inputs = [does("die"), count(5), does("die-without-state", 40, 10), count(6)];
    const ends = await oddPool(2).run(inputs, { saveEvery: 50, heard: (one) => news.push(one) });
    expect(ends.map((end) => end.kind)).toEqual(["failed", "done", "done", "done"]);
    expect(ends[0]).toMatchObject({ says: expect.stringContaining("ended twice: it ended with code 7") });
    expect(news.filter((one) => one.kind === "lost").map((one) => one.index)).toEqual([0, 2]);
    const again = ends[2] as End & { kind: "done" };
    expect(again.answer.sum).toBe(sumOf(40));
    expect(again.answer.from).toBeGreaterThan(0);
  });

  it("ends at once when told to, gives what was reached, and goes on from there to the same bits", async () => {
    const { run } = oddPool(2);
    const controller = new AbortController();
    const inputs = [count(300, 5), count(200, 5), count(7)];
    const begun = new Set<number>();
    const heard = (news: TaskNews<OddState, OddAnswer>): void => {
      if (begun.add(news.index).size === 2) controller.abort();
    };
    const ends = await run(inputs, { signal: controller.signal, heard });
    expect(ends.map((end) => end.kind)).toEqual(["stopped", "stopped", "stopped"]);
    const saved = ends.map((end) => (end.kind === "stopped" ? end.saved : undefined));
    expect(saved[0]?.steps).toBeGreaterThan(0);
    expect(saved[0]?.steps).toBeLessThan(300);
    expect(saved[2]).toBeUndefined();
    const quick = inputs.map((input) => ({ ...input, wait: 0 }));
    const rest = await run(quick, { saved });
    expect(sums(rest)).toEqual([sumOf(300), sumOf(200), sumOf(7)]);
    expect(rest[0]).toMatchObject({ answer: { from: saved[0]?.steps } });
  });

  it("ends a thread that does not heed it, and serves the next batch by another", async () => {
    const { run } = oddPool(1);
    const controller = new AbortController();
    setTimeout(() => controller.abort(), 800);
    const ends = await run([does("hang"), count(3)], { signal: controller.signal });
    expect(ends.map((end) => end.kind)).toEqual(["stopped", "stopped"]);
    expect(sums(await run([count(4)]))).toEqual([sumOf(4)]);
  });

  it("says when no thread can be started", async () => {
    const { run } = oddPool(2, new URL("./not-there.js", import.meta.url));
    await expect(run([count(1)])).rejects.toThrow(/No thread can be started: .*not-there/);
  });

  it("says which input is no plain data", async () => {
    const ends = await oddPool(1).run([{ ...count(1), f: () => 1 } as OddInput, count(2)]);
    expect(ends.map((end) => end.kind)).toEqual(["failed", "done"]);
  });
});

function openDuct(): Job {
  const folder = new URL("../browser/duct/", import.meta.url);
  const files = new Map(["job.yaml", "arm.yaml"].map((name) => [name, new Uint8Array(readFileSync(new URL(name, folder)))]));
  const answer = loadJob("job.yaml", files);
  if (answer.kind !== "job") throw new Error("the duct's files are incomplete");
  return answer.job;
}

describe("plans on the threads of a pool", { timeout: 120_000 }, () => {
  it("are those planned here, cancelled and gone on with on another thread", async () => {
    const job = openDuct();
    const model = createPlan(job);
    const state = createPlanState(model);
    const work = createPlanWork(model);
    while (state.progress.stage !== "done") stepPlan(model, state, work);
    const here = readPlan(model, state);
    const pool = openPool(2);
    pools.push(pool);
    const controller = new AbortController();
    const heard = (news: { kind: string; done?: number }): void => {
      if (news.kind === "progress" && (news.done as number) > 0.2) controller.abort();
    };
    const [stopped] = await pool.run("plan", undefined, [job], { signal: controller.signal, heard });
    expect(stopped?.kind).toBe("stopped");
    const saved = stopped?.kind === "stopped" ? stopped.saved : undefined;
    expect(saved?.progress.stage).not.toBe("done");
    const [rest] = await pool.run("plan", undefined, [job], { saved: [saved] });
    expect(rest).toEqual({ kind: "done", answer: here });
  });
});
