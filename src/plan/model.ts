/** The whole result of one job. Plain data: it can be saved, posted and drawn. */
import type { ArmModel } from "../arm/index.ts";
import type { DriveTable } from "../drive/index.ts";
import type { DrumModel, DrumState } from "../drum/index.ts";
import type { FaultResult } from "../faults/index.ts";
import type { DepthRecord, InsertionState, Launch, SweepBound } from "../insertion/index.ts";
import type { Job } from "../job/index.ts";
import type { OutsideFact } from "../outside/index.ts";
import type { Route, RouteRequest, RouteState } from "../path/index.ts";
import type { RodState } from "../rod/index.ts";
import type { SpaceModel } from "../space/index.ts";
import type { Gain, SightFact, SlackFact, Verdict, WarmFact } from "../verdict/index.ts";
import type { OfferedRoute, OffersState } from "./offer-routes.ts";
import type { DrumSpread } from "./spread-drum.ts";
import type { TourState, Visit } from "./tour-state.ts";

export interface PlanResult {
  readonly version: 1;
  /** the project's own version */
  readonly withy: string;
  readonly job: string;
  readonly arm: string;
  /** name and content hash (fnv-1a, 64 bit, hex) of every input file */
  readonly inputs: readonly { readonly file: string; readonly hash: string }[];
  readonly route: Route;
  /** from the port inwards */
  readonly wayIn: readonly DepthRecord[];
  /** from the target outwards */
  readonly wayOut: readonly DepthRecord[];
  readonly sweep: SweepBound;
  readonly verdict: Verdict;
  /** what the tool sees at the target; absent where it did not get there */
  readonly sight?: SightFact;
  /**
   * where the job has several targets, or lets any of some do: every visit in the order made. Route, ways, sweep and sight above are those of
   * the first, the verdict is that of the whole
   */
  readonly visits?: readonly Visit[];
  /** the routes there were to choose from, where they were sought; `taken` says which one this plan is by */
  readonly routes?: readonly OfferedRoute[];
  /** number of the route in `routes` that this plan is by; absent when it is the first, or none was offered */
  readonly taken?: number;
  /** what the drives have to do; absent where nothing was laid, and where neither drives nor a feed rate are told */
  readonly drives?: DriveTable;
  /** what comes of broken cables, stalled drives and lost power; absent where that was not looked at */
  readonly faults?: FaultResult;
  /** changes of the arm that were planned again on request, in the order tried */
  readonly turns?: readonly Turn[];
  /** what a search for the smallest change found, on request */
  readonly sought?: Sought;
}

/** Plain data. */
export interface Sought {
  /** the smallest change that turned the answer, planned again in full; absent when none of those tried did */
  readonly found?: Turn;
  /** changes that were not planned, as nothing would be gained by them */
  readonly leftOut: readonly { readonly says: string; readonly why: string }[];
}

/** One changed arm, planned anew from the route on. */
export interface Turn {
  readonly says: string;
  readonly answer: Verdict["answer"];
  /** use of each margin by its id; a margin that was not reached is absent */
  readonly uses: Readonly<Record<string, number>>;
  /** the tightest margin, or why there is none */
  readonly tightest: string;
  /** how large the change is, as a share of what it changes, 1; absent when it was not searched for */
  readonly size?: number;
}

export interface PlanProgress {
  readonly stage: "space" | "route" | "way in" | "way out" | "checks" | "done";
  /** 0 to 1 over the whole plan */
  readonly done: number;
  readonly says: string;
}

/** Made once from the job; readonly plain data. */
export interface PlanModel {
  readonly job: Job;
  readonly arm: ArmModel;
  readonly space: SpaceModel;
  /** [body] clearance the job asks for; the space's keeps hold it too, m */
  readonly need: Float64Array;
  /** [12] frame of the guide's exit, world */
  readonly port: Float64Array;
  /** the arm's own drum */
  readonly drum?: DrumModel;
  /** what the arm comes through before it is free; a straight guide when absent */
  readonly launch?: Launch;
  /** what is asked of the route, the most comfortable first */
  readonly requests: readonly RouteRequest[];
  /** the same for those ends alone from which a look sees its place as asked; absent where all of them do, or none */
  readonly seen?: readonly RouteRequest[];
  /** [visit][choice] which of the targets' plans: 0 is this one, k is `more[k - 1]`; absent where there is but one */
  readonly visits?: readonly (readonly number[])[];
  /** the plans of the other targets */
  readonly more?: readonly PlanModel[];
  /** the last request with the thinnest part's radius, where parts differ: only this may prove that there is no way */
  readonly proof?: RouteRequest;
}

/** What stands when a plan is interrupted. Plain data. */
export interface PlanState {
  progress: PlanProgress;
  /** which of the requests is being sought */
  attempt: number;
  routeState: RouteState | undefined;
  /** a route whose end does not see the place as asked, while one to an end that does is sought: which of `seen` is at work */
  blind?: { route: Route; attempt: number };
  route: Route | undefined;
  /** the offer that this plan is to be by */
  given?: OfferedRoute;
  /** another way round, where the arm could not follow the first */
  aside?: Aside;
  insertion: InsertionState | undefined;
  /** by row id: its use without friction and as set up, once the probing of gains has begun */
  bare?: Record<string, number>;
  /** roll being tried for slack, then margin being probed */
  check: number;
  slack: SlackFact | undefined;
  /** the locked arm as the roll before left it */
  rolled: RodState | undefined;
  warm: WarmFact | undefined;
  /** the room outside, once the way in stands; undefined where the job says nothing of it */
  outside?: OutsideFact;
  /** [cable so far] way of the tool point a metre drawn in at the target, 1; absent until they are tried */
  tug?: number[];
  /** the arm being wound up on its drum, where it has one */
  drum: DrumState | undefined;
  gains: Record<string, Gain[]>;
  /** the drum's margins being spread; absent before that, or without a drum */
  drumSpread?: DrumSpread;
  /** by row id: [unsure value] what one standard deviation of it does to what was found; NaN where no balance was found */
  effects: Record<string, number[]>;
  verdict: Verdict | undefined;
  /** several targets, or one of several */
  tour?: TourState;
  sight?: SightFact;
}

/** The arm could not follow the first route: what came of it, and the others. */
export interface Aside {
  readonly route: Route;
  readonly insertion: InsertionState;
  readonly sight: SightFact | undefined;
  offers: OffersState;
  /** number of the offer that is being followed; 0 while they are sought, and again when none of them would do */
  trying: number;
  /** what came of each, by its number, in words */
  came: Record<number, string>;
  over: boolean;
}
