/**
 * What the page and its worker say to each other. Plain data only; buffers are transferred.
 * The page computes nothing of its own: it asks here and draws the answers.
 */
import type { ArmDescription, Web } from "../../src/arm/index.ts";
import type { Fault } from "../../src/base/index.ts";
import type { DepthRecord } from "../../src/insertion/index.ts";
import type { Job, Limits, SurfaceAsk } from "../../src/job/index.ts";
import type { Route } from "../../src/path/index.ts";
import type { PlanProgress, PlanResult } from "../../src/plan/index.ts";
import type { Fluid } from "../../src/rod/index.ts";
import type { Port, Target } from "../../src/space/index.ts";
import type { RackArm, RackEntry, Unknown } from "../../src/study/index.ts";
import type { ArmAsk, MapId, MapNews, MapsAnswer } from "./protocol-maps.ts";

/** A body as triangles to draw. */
export interface BodyPicture {
  readonly name: string;
  /** [triangle, 9] corners, m, world less `JobPicture.origin` */
  readonly corners: Float32Array;
  /** its surface encloses material, so that a cut through it shows a section */
  readonly solid: boolean;
  /** nothing is there to be seen: drawn by its edges alone */
  readonly unseen?: boolean;
  readonly touch: "free" | "light" | "never";
  /** stand-off to be kept, m */
  readonly keep: number;
}

export interface SectionPicture {
  readonly name: string;
  /** first span, and one past the last; vertebra = span + 1 */
  readonly firstSpan: number;
  readonly endSpan: number;
  /** m */
  readonly outerDiameter: number;
  readonly channelDiameter: number;
  readonly pretension: number;
}

export interface CablePicture {
  readonly section: number;
  /** hole in the cross-section, m */
  readonly x: number;
  readonly y: number;
  /** N */
  readonly workingLoad: number;
}

export interface ArmPicture {
  readonly name: string;
  /** everything the arm is made from */
  readonly description: ArmDescription;
  readonly spans: number;
  readonly sections: readonly SectionPicture[];
  readonly cables: readonly CablePicture[];
  /** [vertebra] distance of its centre from the base, m */
  readonly along: Float32Array;
  /** [span] where the axis lies that it bends about most easily, rad from x towards y; NaN where it bends alike every way */
  readonly easy: Float32Array;
  /** [section] the thinnest web of each kind, the thinnest first */
  readonly webs: readonly (readonly Web[])[];
  /** thinnest web that a vertebra is made with, m */
  readonly leastWeb: number;
  /** [vertebra] thickness of the rigid disc below and above its centre, m */
  readonly below: Float32Array;
  readonly above: Float32Array;
  /** [vertebra] outer diameter, m */
  readonly diameter: Float32Array;
  /** rods crossing each span: [span][rod] x and y, m, diameter */
  readonly rods: readonly (readonly { readonly x: number; readonly y: number; readonly diameter: number }[])[];
  /** length of the straight arm to the tool point, m */
  readonly length: number;
  /** greatest joint angle allowed anywhere, rad (least of the sections) */
  readonly jointLimit: number;
  readonly tool: { readonly name: string; readonly mass: number; readonly diameter: number; readonly length: number };
  readonly camera?: { readonly fieldOfView: number; readonly pixels: number };
}

/** One number of the arm that the page lets a person change, as it stands in the arm's file. */
export interface ArmField {
  /** file it stands in, and its path there, as `sections[0].pretension` */
  readonly file: string;
  readonly path: string;
  /** heading it belongs under: "Sections 1 to 7", "Tool" */
  readonly group: string;
  /** what of the arm it is of: "Cables", "Backbone" */
  readonly part: string;
  readonly label: string;
  /** the same for the same number of any section */
  readonly key: string;
  /** sections that it is of, from 0; none when it is of the arm */
  readonly sections: readonly number[];
  /** of one section by itself, whose text has to be told apart from the others' first */
  readonly alone?: true;
  /** one of the handful that is changed first */
  readonly first: boolean;
  /** as written, `40 N`; empty where the file leaves it out */
  readonly text: string;
  /** what stands in for it when it is left out, for those that may be */
  readonly absent?: string;
  /** every place in the file that carries the same number and changes with it */
  readonly also: readonly string[];
  /** what may be chosen, when only names are taken */
  readonly choices?: readonly string[];
}

/** Everything the page needs to draw a job before anything is planned. */
export interface JobPicture {
  readonly name: string;
  /** [3] m, world: what was taken off all drawn corners, to keep single precision near zero */
  readonly origin: readonly [number, number, number];
  /** [6] min, max of all bodies, m, world */
  readonly bounds: Float64Array;
  readonly bodies: readonly BodyPicture[];
  /** the same for two pictures whose bodies are the same: what is drawn of them can stay */
  readonly space: string;
  readonly port: Port;
  readonly target: Target;
  /** [visit][choice] all of them, in the order written */
  readonly targets: readonly (readonly Target[])[];
  readonly limits: Limits;
  readonly guideLength: number;
  /** the guide tube: points of its centre line from its entry to its exit, m, world, and its bore, m */
  readonly tube?: { readonly points: Float64Array; readonly bore: number };
  /** [3] m/s^2 */
  readonly gravity: readonly [number, number, number];
  /** what the machine is filled with, when the job says so */
  readonly fluid?: Fluid;
  readonly arm: ArmPicture;
  readonly fields: readonly ArmField[];
  /** [section] its own numbers by themselves */
  readonly sectionFields: readonly (readonly ArmField[])[];
  readonly remarks: readonly string[];
  readonly inputs: readonly { readonly file: string; readonly hash: string }[];
}

export type JobFiles = ReadonlyMap<string, Uint8Array>;

export type OpenAnswer =
  | { readonly kind: "job"; readonly picture: JobPicture }
  | { readonly kind: "needs"; readonly paths: readonly string[]; readonly surfaces?: readonly SurfaceAsk[] }
  | { readonly kind: "faults"; readonly faults: readonly Fault[] };

export type EditAnswer = { readonly kind: "text"; readonly text: string } | { readonly kind: "faults"; readonly faults: readonly Fault[] };

export type PlanAnswer =
  | { readonly kind: "result"; readonly result: PlanResult }
  | { readonly kind: "cancelled" }
  | { readonly kind: "faults"; readonly faults: readonly Fault[] };

/** What is known while a plan is still being made. */
export interface PlanNews {
  readonly progress: PlanProgress;
  /** present once, when it becomes known */
  readonly route?: Route;
  /** depths solved since the last news */
  readonly wayIn: readonly DepthRecord[];
  readonly wayOut: readonly DepthRecord[];
}

/** A rack's arms as they can be planned, with the job they are held against; those that cannot be read. */
export interface RackAnswer {
  readonly job: Job;
  readonly arms: readonly RackArm[];
  readonly faulty: readonly RackEntry[];
}

/** What truths are drawn from: the files as they were opened, surfaces and all, and the numbers in them that are not surely known. */
export interface DrawSource {
  readonly main: string;
  readonly files: JobFiles;
  readonly unknowns: readonly Unknown[];
}

/** The verbs the worker answers. */
export interface WorkerVerbs {
  /** @param missing [key of a surface] why it could not be made */
  open(main: string, files: JobFiles, missing: ReadonlyMap<string, string>): OpenAnswer;
  /** a saved plan, as the server and `--out` write it */
  readPlan(text: string): PlanAnswer;
  /**
   * the text of a file with the value at each path replaced, comments and layout kept; an empty value takes the key out
   *
   * @param alone the path is that of one section, which is told apart from those like it first
   */
  edit(file: string, text: string, paths: readonly string[], value: string, alone: boolean): EditAnswer;
  /** reads arm files for the job opened last @param texts [path from the rack's folder] */
  readRack(texts: JobFiles): RackAnswer;
  /** of the job opened last */
  drawSource(): DrawSource;
  /** plans the job opened last */
  plan(news: (news: PlanNews) => void): Promise<PlanAnswer>;
  /** plans the first few likely changes of the arm of the job opened last */
  tryChanges(result: PlanResult, count: number, news: (news: PlanNews) => void): Promise<PlanAnswer>;
  /** what may fail on a plan of the job opened last; told by `progress` alone on the way */
  findFaults(result: PlanResult, news: (news: PlanNews) => void): Promise<PlanAnswer>;
  /** the operator's sheet of a plan of the job opened last, as one HTML file */
  runSheet(result: PlanResult): Promise<string>;
  /** looks for the smallest allowed change of the job opened last that turns its answer */
  seekTurn(result: PlanResult, news: (news: PlanNews) => void): Promise<PlanAnswer>;
  /** ends a running plan at its next pause; does nothing when none runs */
  cancel(): void;
  /** draws maps of an arm one after another; ends those asked for before */
  drawMaps(ask: ArmAsk, which: readonly MapId[], news: (news: MapNews) => void): Promise<MapsAnswer>;
  /** ends running maps at their next pause */
  stopMaps(): void;
}
