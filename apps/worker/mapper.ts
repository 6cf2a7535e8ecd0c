/** The page's end of the worker that draws an arm's maps: one question at a time, a newer one ends the older. */
import * as comlink from "comlink";
import { later, launch, type Running } from "./launch.ts";
import type { ArmAsk, MapId, MapNews, MapsAnswer } from "./protocol-maps.ts";

export interface Mapper {
  /** what was asked before ends; a worker that does not heed that in time is ended and started afresh */
  ask(ask: ArmAsk, which: readonly MapId[], news: (news: MapNews) => void): Promise<MapsAnswer>;
  stop(): void;
  close(): void;
}

/** How long a step may run on after it was ended before the worker is, ms. */
const patience = 2000;

export function createMapper(start: () => Worker): Mapper {
  let running: Running | undefined;
  let asking: Promise<MapsAnswer> | undefined;
  let turn = 0;

  /** The worker, free of what it did before. */
  const free = async (): Promise<Running> => {
    if (running !== undefined && asking !== undefined) {
      void running.verbs.stopMaps();
      const settled = asking.then(
        () => true,
        () => false,
      );
      if (!(await Promise.race([settled, later(patience)]))) {
        running.worker.terminate();
        running = undefined;
      }
    }
    running ??= launch(start, () => {
      running = undefined;
    });
    return running;
  };

  return {
    async ask(ask, which, news) {
      const mine = ++turn;
      const ready = await free();
      if (mine !== turn) return { kind: "cancelled" };
      const heard = (one: MapNews): void => {
        if (mine === turn) news(one);
      };
      asking = Promise.race([ready.verbs.drawMaps(ask, which, comlink.proxy(heard)) as Promise<MapsAnswer>, ready.lost]);
      const answer = await asking;
      return mine === turn ? answer : { kind: "cancelled" };
    },
    stop() {
      turn++;
      void running?.verbs.stopMaps();
    },
    close: () => running?.worker.terminate(),
  };
}
