/** What the Arm room shows beside the arm itself: its question, and the maps that answer it. Written by `draw-maps.ts`. */
import { computed, signal } from "@preact/signals";
import type { Fault } from "../../../src/base/index.ts";
import type { ArmAsk, LimitPlace, MapFrame, MapId, MapPoints, Pose, SentSection } from "../../worker/index.ts";
import { picture, plan, plannedFor, recordsIn } from "./store.ts";

export const armTabs = ["payload", "rest", "broken", "stalled", "backbones"] as const;
export type ArmTab = (typeof armTabs)[number];

/** The maps of each tab, in the order they are drawn. */
export const mapsOf: Readonly<Record<ArmTab, readonly MapId[]>> = {
  payload: ["direction", "length", "pretension"],
  rest: ["rest", "swing"],
  broken: ["broken"],
  stalled: ["stalled"],
  backbones: ["backbones"],
};

export const armMaps = signal<ArmTab>("payload");
/** the section that is drawn large; 0 for the first */
export const armSection = signal(0);
/** the numbers shown are those of all sections, or those of the picked one alone */
export const aloneNumbers = signal(false);
/** where the limit of the payload that is pointed at is met, and the question it is of */
export const pointedLimit = signal<{ readonly of: string; readonly place: LimitPlace } | undefined>(undefined);
export const asTable = signal(false);

export interface Asked extends Pick<ArmAsk, "lies" | "lockedAt" | "load" | "sag" | "pull"> {
  /** in the job's fluid, where it has one, or in air */
  readonly within: "fluid" | "air";
  /** where a section is sent while a drive stalls; its number from 0, and the last one where there is none of that number */
  readonly sent: SentSection;
}

export const asked = signal<Asked>({
  lies: "level",
  lockedAt: "carrying",
  load: "down",
  sag: "",
  pull: "",
  within: "fluid",
  sent: { section: Number.POSITIVE_INFINITY, by: "20 deg", way: "down" },
});
export const askFaults = signal<readonly Fault[]>([]);

/** The shapes of the plan on its way in, for an arm that lies as planned; none that was not found to stand. */
export const poses = computed<readonly Pose[]>(() => {
  const stand = plan.value === undefined ? [] : recordsIn.value.filter(({ status }) => status === "stable" || status === "slack");
  return stand.map(({ frames, bend, depth }) => ({ base: frames.slice(0, 12), tip: frames.slice(-12), bend, depth }));
});

/** What the arm is in, in words. */
export const within = computed(() =>
  picture.value?.fluid !== undefined && asked.value.within === "fluid" ? "in the fluid of the job" : "in air",
);

/** One text for the arm as it stands and what is asked of it: a map belongs to it or is an old one. */
export const question = computed(() => {
  const arm = picture.value?.inputs[1];
  const planned = asked.value.lies === "planned" ? plannedFor.value : "";
  return arm === undefined
    ? ""
    : `${arm.file} ${arm.hash} ${JSON.stringify(asked.value)} ${planned} ${JSON.stringify(picture.value?.fluid ?? "air")}`;
});

export interface ShownMap<Id extends MapId = MapId> {
  /** the question that its points answer */
  readonly of: string;
  readonly frame: MapFrame;
  readonly points: MapPoints[Id];
  /** 0 to 1 */
  readonly progress: number;
  readonly done: boolean;
  readonly problem?: string;
  /** of the question before, all of it, to compare with */
  readonly before?: MapPoints[Id];
}

export type ShownMaps = { readonly [Id in MapId]?: ShownMap<Id> };

/** The last that is known of each map; of another question until new points come. */
export const maps = signal<ShownMaps>({});
export type Drawing =
  | { readonly kind: "idle" }
  | { readonly kind: "drawing" }
  | { readonly kind: "stopped" }
  | { readonly kind: "lost"; readonly says: string };
export const drawing = signal<Drawing>({ kind: "idle" });
