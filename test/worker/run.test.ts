/** The stepping loop that page and command line share, over a short real job. */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { runPlan } from "../../apps/worker/run.ts";
import { type Job, loadJob } from "../../src/job/index.ts";

const folder = new URL("../browser/duct/", import.meta.url);
const files = new Map(["job.yaml", "arm.yaml"].map((name) => [name, new Uint8Array(readFileSync(new URL(name, folder)))]));

function openDuct(): Job {
  const answer = loadJob("job.yaml", files);
  if (answer.kind !== "job") throw new Error("the duct's files are incomplete");
  return answer.job;
}

describe("running a plan", () => {
  it("reports progress that never falls, and ends with the result", async () => {
    const done: number[] = [];
    const answer = await runPlan(openDuct(), {
      now: () => performance.now(),
      report: (state) => done.push(state.progress.done),
      isCancelled: () => false,
    });
    expect(answer.kind).toBe("result");
    expect(done.length).toBeGreaterThan(5);
    for (let i = 1; i < done.length; i++) expect(done[i] as number).toBeGreaterThanOrEqual(done[i - 1] as number);
    expect(done.at(-1)).toBe(1);
  });

  it("lets a message in between two slices, so that a cancel is heard", async () => {
    let cancelled = false;
    let slices = 0;
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      cancelled = true;
      port1.close();
    };
    const answer = await runPlan(openDuct(), {
      now: () => performance.now(),
      report: () => {
        slices++;
        if (slices === 3) port2.postMessage("stop");
      },
      isCancelled: () => cancelled,
    });
    expect(answer).toEqual({ kind: "cancelled" });
    // heard at that very pause, or at the next at the latest
    expect(slices).toBeLessThanOrEqual(4);
  });

  it("gives the same result however the steps fall into slices", async () => {
    const run = async (now: () => number) => {
      const answer = await runPlan(openDuct(), { now, report: () => undefined, isCancelled: () => false });
      if (answer.kind !== "result") throw new Error("cancelled");
      return answer.result;
    };
    let tick = 0;
    // every step its own slice, against some dozens a slice
    const single = await run(() => (tick += 100));
    const many = await run(() => (tick += 0.5));
    expect(single.wayIn).toEqual(many.wayIn);
    expect(single.verdict).toEqual(many.verdict);
  });
});
