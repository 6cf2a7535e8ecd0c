/** `withy fit`: tables of measurements -> an arm's true stiffness, stretch and effective length, and how sure they are. */
import { readFileSync } from "node:fs";
import { basename, extname } from "node:path";
import { type Fault, InputError, refuse } from "../../src/base/index.ts";
import {
  createFit,
  createFitState,
  createFitWork,
  type FitModel,
  type FitResult,
  type Rig,
  readFit,
  readTable,
  recordFit,
  stepFit,
  type Table,
} from "../../src/fit/index.ts";
import { contentHash, writeFitted } from "../../src/job/index.ts";
import { type CommonOptions, type Console, stopIfCancelled } from "./console.ts";
import { exitCodes } from "./exit-codes.ts";
import { openArm } from "./read-files.ts";
import { faultOf, standardGravity, takeDirection, type Vector } from "./read-solve.ts";
import { fitData, sayFit } from "./say-fit.ts";
import { createProgressBar } from "./show-progress.ts";
import { checkPlace, type WholeFile, writeWhole } from "./write-whole.ts";

export interface FitOptions extends CommonOptions {
  readonly axis: string;
  readonly gravity: string;
  readonly out?: string;
}

/** Ends with 0 when the fit converged, with 3 when not. */
export async function fit(path: string, tables: readonly string[], options: FitOptions, console: Console): Promise<number> {
  const arm = openArm(path).arm;
  const rig = readRig(options);
  const opened = openTables(tables);
  const model = createFit(
    arm,
    opened.map(({ table }) => table),
    rig,
  );
  if (options.out !== undefined) checkPlace(options.out);
  const result = await run(model, console);
  const record = recordFit(
    result,
    opened.map(({ table, hash }) => ({ file: basename(table.file), hash })),
    new Date().toISOString().slice(0, 10),
  );
  const good = result.status === "converged";
  const written =
    options.out === undefined || !good ? [] : await writeWhole(options.out, await makeFiles(path, model, result, record, options), console);
  if (options.json) console.out(`${JSON.stringify({ ...fitData(model, result, record), written }, null, 2)}\n`);
  else console.out(`${sayFit(model, result, options)}${written.length > 0 ? `\nWritten: ${written.join(", ")}\n` : ""}`);
  return good ? exitCodes.go : exitCodes.undecided;
}

function readRig(options: FitOptions): Rig {
  const faults: Fault[] = [];
  const axis = takeDirection("--axis", options.axis, faults);
  const down = takeDirection("--gravity", options.gravity, faults);
  if (axis?.every((x) => x === 0)) faults.push(faultOf("--axis", options.axis, "has no direction.", "Give one, as 1,0,0."));
  if (down?.every((x) => x === 0)) faults.push(faultOf("--gravity", options.gravity, "has no direction.", "Give one, as 0,0,-1."));
  refuse(faults);
  return { axis: axis as Vector, gravity: (down as Vector).map((x) => x * standardGravity) as unknown as Vector };
}

/** @throws InputError with the faults of all tables */
function openTables(paths: readonly string[]): { table: Table; hash: string }[] {
  const faults: Fault[] = [];
  const opened = paths.flatMap((path) => {
    try {
      const bytes = readFileSync(path);
      return [{ table: readTable(path, new TextDecoder("utf-8", { fatal: true }).decode(bytes)), hash: contentHash(bytes) }];
    } catch (error) {
      if (error instanceof InputError) faults.push(...error.faults);
      else faults.push(unreadable(path, error));
      return [];
    }
  });
  refuse(faults);
  return opened;
}

function unreadable(path: string, error: unknown): Fault {
  const { code } = error as NodeJS.ErrnoException;
  if (error instanceof TypeError)
    return { code: "file.text", path: "", file: path, problem: "is not text in UTF-8.", hint: "Save the table as CSV in UTF-8." };
  const why = code === "ENOENT" ? "there is no such file" : code === "EISDIR" ? "it is a folder" : undefined;
  if (why === undefined) throw error;
  return {
    code: "file.missing",
    path: "",
    file: path,
    problem: `cannot be read: ${why}.`,
    hint: "Name a file that is there.",
    received: path,
  };
}

async function run(model: FitModel, console: Console): Promise<FitResult> {
  const bar = createProgressBar(console);
  const state = createFitState(model);
  const work = createFitWork(model);
  let paused = performance.now();
  try {
    while (!state.done) {
      stepFit(model, state, work);
      if (performance.now() - paused < 30) continue;
      // how many more sets of values it takes is not known beforehand: the bar shows the rows of this one
      bar.show(state.row / model.rows.length, `values tried: ${state.evaluations}`);
      await new Promise((resolve) => setImmediate(resolve));
      stopIfCancelled(console);
      paused = performance.now();
    }
    return readFit(model, state);
  } finally {
    bar.end();
  }
}

async function makeFiles(
  path: string,
  model: FitModel,
  result: FitResult,
  record: ReturnType<typeof recordFit>,
  { units }: FitOptions,
): Promise<WholeFile[]> {
  const { fitHtml } = await import("../../src/report/index.ts");
  const stem = basename(path, extname(path)).replace(/-fitted$/, "");
  return [
    { name: `${stem}-fitted.yaml`, content: writeFitted(readFileSync(path, "utf8"), result.values, result.arm, record) },
    { name: "fit.html", content: fitHtml(model, result, record, { units }) },
  ];
}
