/** Steps the maps of an arm to their end, one after another; points are told as they come, the far apart ones first. */
import { createArm } from "../../src/arm/index.ts";
import { InputError, readQuantity, refuse } from "../../src/base/index.ts";
import { createCapacityWork, type Limits } from "../../src/capacity/index.ts";
import { type Laid, layArm } from "./lay-arm.ts";
import {
  createBackboneTrack,
  createBrokenTrack,
  createDirectionTrack,
  createLengthTrack,
  createPretensionTrack,
  createRestTrack,
  createStalledTrack,
  createSwingTrack,
  type Question,
  type Track,
  usualSent,
} from "./map-tracks.ts";
import type { ArmAsk, MapFrame, MapId, MapNews } from "./protocol-maps.ts";
import { type Caller, runInSlices } from "./slices.ts";

export interface MapsCaller extends Caller {
  report(news: MapNews): void;
}

/** @returns false when it was cancelled @throws InputError when the arm cannot be built or the question has faults */
export async function runMaps(ask: ArmAsk, which: readonly MapId[], caller: MapsCaller): Promise<boolean> {
  const arm = createArm(ask.arm);
  const limits = readLimits(ask);
  const laid = layArm(ask, arm);
  const all = laid[0] as Laid;
  const tensions = ask.arm.sections.map((section) => section.pretension);
  const frame: MapFrame = {
    length: all.length,
    names: all.names,
    turn: all.turn,
    pretension: tensions.every((one) => one === tensions[0]) ? (tensions[0] as number) : Number.NaN,
    losesChannel: ask.arm.sections.some((section) => section.rods.length > 1 && section.channelDiameter > 0),
  };
  const question: Question = {
    arm,
    ask,
    laid,
    all,
    limits,
    pull: readPull(ask),
    sentBy: readSent(ask),
    ...fluidOf(ask),
    work: createCapacityWork(arm),
  };
  for (const map of which) {
    const track = begin[map](question);
    let told = -1;
    const report = (): void => {
      const found = track.points();
      if (found.length === told && !track.isDone()) return;
      told = found.length;
      const problem = track.problem?.();
      caller.report({
        map,
        frame,
        points: [...found].sort(byPlace),
        progress: track.progress(),
        done: track.isDone(),
        ...(problem === undefined ? {} : { problem }),
      } as unknown as MapNews);
    };
    if (!(await runInSlices(track.step, track.isDone, report, caller))) return false;
  }
  return true;
}

const begin: Readonly<Record<MapId, (question: Question) => Track>> = {
  direction: createDirectionTrack,
  length: createLengthTrack,
  pretension: createPretensionTrack,
  rest: createRestTrack,
  swing: createSwingTrack,
  broken: createBrokenTrack,
  stalled: createStalledTrack,
  backbones: createBackboneTrack,
};

function readLimits({ sag }: ArmAsk): Limits {
  if (sag.trim() === "") return {};
  const read = readQuantity(sag, "length");
  if ("code" in read) throw new InputError([{ ...read, path: "sag" }]);
  if (!(read.low > 0)) {
    const hint = "Give a length above 0, as 20 mm, or leave it empty for any way.";
    refuse([{ code: "quantity.limit", path: "sag", problem: `is ${sag}.`, hint, received: sag }]);
  }
  return { sag: read.nominal };
}

/** What a section is sent by while a drive stalls, rad. */
function readSent({ sent, arm }: ArmAsk): number {
  const { by, section } = sent ?? usualSent(arm.sections.length);
  const read = readQuantity(by, "angle");
  if ("code" in read) throw new InputError([{ ...read, path: "sent" }]);
  if (!(read.low > 0 && read.high <= Math.PI)) {
    const hint = "Give an angle above 0 and up to 180 degrees, as 20 deg; which way is chosen beside it.";
    refuse([{ code: "quantity.limit", path: "sent", problem: `is ${by}.`, hint, received: by }]);
  }
  if (arm.sections[section]?.cableAngles.length === 0) {
    const hint = "Choose a section that has cables.";
    refuse([{ code: "capacity.value", path: "sent", problem: `is section ${section + 1}, which has no cables.`, hint, received: by }]);
  }
  return read.nominal;
}

/** N on the tool point, beside the weight. */
function readPull({ pull }: ArmAsk): number {
  if (pull.trim() === "") return 0;
  const read = readQuantity(pull, "force");
  if ("code" in read) throw new InputError([{ ...read, path: "pull" }]);
  if (!(read.low >= 0)) {
    const hint = "Give a force of 0 or more, as 2 N; where it pulls is chosen beside it.";
    refuse([{ code: "quantity.limit", path: "pull", problem: `is ${pull}.`, hint, received: pull }]);
  }
  return read.nominal;
}

/** An arm that lies straight lies nowhere: no surface is near it. */
function fluidOf({ fluid, lies }: ArmAsk): Pick<Question, "fluid"> | Record<string, never> {
  if (fluid === undefined || lies === "planned") return fluid === undefined ? {} : { fluid };
  const { surface: _, ...all } = fluid;
  return { fluid: all };
}

/** What has no place among the others, NaN, comes last. */
function byPlace(a: { readonly at: number }, b: { readonly at: number }): number {
  return Number.isNaN(a.at) ? (Number.isNaN(b.at) ? 0 : 1) : Number.isNaN(b.at) ? -1 : a.at - b.at;
}
