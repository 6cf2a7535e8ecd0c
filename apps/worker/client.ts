/**
 * The page's end of the worker: starts it, asks it, and replaces it when it is lost or does not heed a cancel.
 */
import * as comlink from "comlink";
import type { PlanResult } from "../../src/plan/index.ts";
import { askWorker } from "../cad/index.ts";
import { later, launch, type Running } from "./launch.ts";
import type { DrawSource, EditAnswer, JobFiles, OpenAnswer, PlanAnswer, PlanNews, RackAnswer } from "./protocol.ts";

export interface Planner {
  /** surfaces of CAD files are made on the way, each once, by a worker of their own */
  open(main: string, files: JobFiles): Promise<OpenAnswer>;
  readPlan(text: string): Promise<PlanAnswer>;
  readRack(texts: JobFiles): Promise<RackAnswer>;
  drawSource(): Promise<DrawSource>;
  edit(file: string, text: string, paths: readonly string[], value: string, alone: boolean): Promise<EditAnswer>;
  plan(news: (news: PlanNews) => void): Promise<PlanAnswer>;
  tryChanges(result: PlanResult, count: number, news: (news: PlanNews) => void): Promise<PlanAnswer>;
  findFaults(result: PlanResult, news: (news: PlanNews) => void): Promise<PlanAnswer>;
  /** the operator's sheet, as one HTML file */
  runSheet(result: PlanResult): Promise<string>;
  seekTurn(result: PlanResult, news: (news: PlanNews) => void): Promise<PlanAnswer>;
  /** resolves when the worker is free again; one that does not stop in time is ended and started afresh */
  cancel(): Promise<void>;
  close(): void;
}

/** How long a step may run on after a cancel before the worker is ended, ms. */
const patience = 2000;

/** The worker for CAD files, and the address of the folder that its kernel lies in, ending with /. */
export interface CadStart {
  start(): Worker;
  readonly kernel: string;
}

/** @param start makes the worker @param onLost called with what is known when the worker dies by itself */
export function createPlanner(start: () => Worker, cad: CadStart, onLost: (says: string) => void): Planner {
  let running = launch(start, onLost);
  let opened: { main: string; files: JobFiles } | undefined;
  let planning: Promise<PlanAnswer> | undefined;
  let stop: (() => void) | undefined;

  const ask = <T>(answer: Promise<T>): Promise<T> => Promise.race([answer, running.lost]);

  const begin = (work: (verbs: Running["verbs"]) => unknown): Promise<PlanAnswer> => {
    const stopped = new Promise<PlanAnswer>((resolve) => {
      stop = () => resolve({ kind: "cancelled" });
    });
    planning = ask(Promise.race([work(running.verbs) as Promise<PlanAnswer>, stopped]));
    return planning;
  };

  /** [key of a surface] its triangles, or why there are none: made once for all changes of a job */
  const surfaces = new Map<string, Uint8Array>();
  const missing = new Map<string, string>();

  const open = async (main: string, files: JobFiles): Promise<OpenAnswer> => {
    for (;;) {
      const answer = await ask(running.verbs.open(main, new Map([...files, ...surfaces]), missing) as Promise<OpenAnswer>);
      if (answer.kind !== "needs" || answer.surfaces === undefined) return answer;
      for (const one of answer.surfaces) {
        const made = await askWorker(cad.start, cad.kernel, one, files.get(one.file) as Uint8Array);
        if (typeof made === "string") missing.set(one.key, made);
        else surfaces.set(one.key, made);
      }
    }
  };

  return {
    open(main, files) {
      opened = { main, files };
      return open(main, files);
    },
    drawSource: () => ask(running.verbs.drawSource() as Promise<DrawSource>),
    readRack: (texts) => ask(running.verbs.readRack(texts) as Promise<RackAnswer>),
    readPlan: (text) => ask(running.verbs.readPlan(text) as Promise<PlanAnswer>),
    edit: (file, text, paths, value, alone) => ask(running.verbs.edit(file, text, paths, value, alone) as Promise<EditAnswer>),
    plan: (news) => begin((verbs) => verbs.plan(comlink.proxy(news))),
    tryChanges: (result, count, news) => begin((verbs) => verbs.tryChanges(result, count, comlink.proxy(news))),
    findFaults: (result, news) => begin((verbs) => verbs.findFaults(result, comlink.proxy(news))),
    runSheet: (result) => ask(running.verbs.runSheet(result) as Promise<string>),
    seekTurn: (result, news) => begin((verbs) => verbs.seekTurn(result, comlink.proxy(news))),
    async cancel() {
      if (planning === undefined) return;
      void running.verbs.cancel();
      const heeded = await Promise.race([
        planning.then(
          () => true,
          () => true,
        ),
        later(patience),
      ]);
      if (!heeded) {
        running.worker.terminate();
        running = launch(start, onLost);
        stop?.();
        if (opened !== undefined) await open(opened.main, opened.files);
      }
      planning = undefined;
    },
    close: () => running.worker.terminate(),
  };
}
