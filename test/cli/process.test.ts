import { mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { callProcess, root } from "./call.ts";

const job = join(root, "examples/valve-gallery/job.yaml");
const folder = mkdtempSync(join(tmpdir(), "withy-process-"));
afterAll(() => rmSync(folder, { recursive: true }));

describe("the process", () => {
  it("ends with 130 on Ctrl-C, writes nothing, and was quiet without a terminal", async () => {
    const out = join(folder, "out");
    // changes planned again make the work long enough to be met in the middle
    const ended = await callProcess(["plan", job, "--turn", "9", "--out", out], (child) => {
      setTimeout(() => child.kill("SIGINT"), 4000);
    });
    expect(ended.code).toBe(130);
    expect(ended.out).toBe("");
    expect(ended.err).toMatch(/Cancelled/);
    // no bar, no control codes
    expect(ended.err).not.toContain(String.fromCharCode(27));
    expect(readdirSync(folder)).toEqual([]);
  });

  it("stops quietly when nobody listens to its output any more", async () => {
    const { err } = await callProcess(["schema", "job"], (child) => child.stdout?.destroy());
    expect(err).toBe("");
  });

  it("serves until Ctrl-C, on loopback, and gives the job", async () => {
    let told = "";
    const ended = callProcess(["serve", job, "--unplanned", "--port", "0"], (child) => {
      child.stdout?.on("data", async (data) => {
        const address = /http:\S+/.exec(String(data))?.[0];
        if (address === undefined) return;
        expect(address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/$/);
        told = await (await fetch(new URL("api/job", address))).text();
        child.kill("SIGINT");
      });
    });
    expect((await ended).code).toBe(0);
    expect(JSON.parse(told)).toEqual({ main: "job.yaml", files: ["job.yaml", "arm.yaml", "gallery.stl"], rack: [] });
  });

  it("warns when other machines can see the job", async () => {
    const ended = await callProcess(["serve", job, "--unplanned", "--port", "0", "--host", "0.0.0.0"], (child) => {
      child.stdout?.on("data", () => child.kill("SIGINT"));
    });
    expect(ended.err).toContain("Other machines");
  });
});
