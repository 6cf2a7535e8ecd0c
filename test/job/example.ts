/** Reads an example's files the way an application does: asks, gives, asks again. */
import { readFileSync } from "node:fs";
import { type Fault, InputError } from "../../src/base/index.ts";
import { type Job, loadArm, loadJob } from "../../src/job/index.ts";

export const exampleNames = ["valve-gallery", "valve-gallery-8", "water-box"] as const;

export function exampleFile(name: string, file: string): Uint8Array {
  return new Uint8Array(readFileSync(new URL(`../../examples/${name}/${file}`, import.meta.url)));
}

export function exampleText(name: string, file: string): string {
  return new TextDecoder().decode(exampleFile(name, file));
}

export function bytes(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}

/** @param changed  texts that stand in for files of the example */
export function loadExample(name: string, changed: Readonly<Record<string, string>> = {}): Job {
  const files = new Map<string, Uint8Array>();
  for (let asked = 0; asked < 10; asked++) {
    const answer = loadJob("job.yaml", files);
    if (answer.kind === "job") return answer.job;
    for (const path of answer.paths) {
      const text = changed[path];
      files.set(path, text === undefined ? exampleFile(name, path) : bytes(text));
    }
  }
  throw new Error("asked for files without end");
}

export function loadArmText(text: string) {
  const answer = loadArm("arm.yaml", new Map([["arm.yaml", bytes(text)]]));
  if (answer.kind !== "arm") throw new Error("an arm file needs no other");
  return answer;
}

export function faultsOf(run: () => unknown): readonly Fault[] {
  try {
    run();
  } catch (error) {
    if (error instanceof InputError) return error.faults;
    throw error;
  }
  throw new Error("nothing was refused");
}

/** `text` with `from` replaced, which must be there exactly once. */
export function swap(text: string, from: string, to: string): string {
  if (text.split(from).length !== 2) throw new Error(`${JSON.stringify(from)} stands ${text.split(from).length - 1} times`);
  return text.replace(from, to);
}
