/**
 * The inner loops in WebAssembly, two numbers at a time: the same algebra as place.ts, span.ts, sweep.ts and solve-columns.ts, which stay
 * as the plain way where there is no WebAssembly (a page whose policy forbids it). Its source is kernel/, its bytes are in kernel-bytes.ts.
 */
import type { ArmModel } from "../arm/index.ts";
import { kernelBytes } from "./kernel-bytes.ts";

/** [array] numbers that the kernel reads or writes, in the order in which kernel/memory.ts takes their places. */
export interface KernelSizes {
  readonly scratch: number;
  readonly lead: number;
  readonly flexible: number;
  readonly tail: number;
  readonly free: number;
  readonly stiffness: number;
  readonly cableX: number;
  readonly cableY: number;
  readonly passing: number;
  readonly strain: number;
  readonly frame: number;
  readonly turn: number;
  readonly shift: number;
  readonly reach: number;
  readonly coefficient: number;
  readonly cableRate: number;
  readonly cableLine: number;
  readonly cableLength: number;
  readonly bend: number;
  readonly bendWeight: number;
  readonly loadGradient: number;
  readonly loadCurvature: number;
  readonly gradient: number;
  readonly pivot: number;
  readonly gain: number;
  readonly weight: number;
  readonly column: number;
  readonly columnTip: number;
  readonly columnBase: number;
  readonly columnFoot: number;
  readonly motion: number;
  readonly columnEnd: number;
  readonly between: number;
  readonly lift: number;
  readonly tension: number;
  readonly share: number;
  readonly grip: number;
  readonly weighted: number;
  readonly floor: number;
  readonly give: number;
  readonly friction: number;
  readonly shareRate: number;
  readonly shareChange: number;
  readonly floorChange: number;
  readonly tensionChange: number;
  readonly bendChange: number;
  readonly dense: number;
  readonly denseRight: number;
}

/** Numbers are passed by arrays: as arguments each would be put on the heap. */
export interface Kernel {
  /** [span, 4] the strains as placed; [1] share of the rods' own stiffness on top of the tangent */
  readonly strain: Float64Array;
  readonly lift: Float64Array;
  /** [cable] entry tensions for `pullColumn`, N */
  readonly tension: Float64Array;
  /** byte addresses of work.dense, work.denseRight and work.bendChange */
  readonly denseAt: number;
  readonly denseRightAt: number;
  readonly bendChangeAt: number;
  /** takes the arm's own numbers when they are another arm's (one of as many parts, warmed or with other rods) */
  useArm(arm: ArmModel): void;
  placeArm(first: number, sections: number): void;
  /** returns the pivots below zero */
  sweepSpan(i: number, guard: number): number;
  /** over the spans alone */
  shareTensions(first: number): void;
  rateShares(first: number): void;
  changeShares(c: number, first: number): void;
  pullColumn(c: number, shares: number, first: number): void;
  bendChanges(c: number, sections: number, first: number, into: number): void;
  reduceColumns(from: number, count: number, first: number): void;
  returnColumns(from: number, count: number, first: number): void;
  products(a: number, rows: number, c: number, count: number, first: number, into: number, stride: number): void;
  combineColumns(into: number, from: number, count: number, factors: number): void;
}

export interface KernelArrays {
  readonly arrays: { readonly [K in keyof KernelSizes]: Float64Array };
  /** the bytes of `columnEnd` and `passing` as integers */
  readonly columnEnd: Int32Array;
  /** absent where there is no WebAssembly */
  readonly kernel: Kernel | undefined;
}

/** Arrays in one memory, and the kernel that works on it. @param plain without the kernel */
export function createKernelArrays(arm: ArmModel, columns: number, plain: boolean): KernelArrays {
  const sizes = sizesOf(arm, columns);
  const names = Object.keys(sizes) as (keyof KernelSizes)[];
  // the first 1024 bytes: where the others lie
  let end = 1024;
  const places = names.map((name) => {
    const at = end;
    end += 16 * Math.ceil(sizes[name] / 2);
    return at;
  });
  const code = plain ? undefined : compiled();
  const memory = code === undefined ? undefined : new WebAssembly.Memory({ initial: Math.ceil(end / 65536) });
  const buffer = memory === undefined ? new ArrayBuffer(end) : memory.buffer;
  const arrays = Object.fromEntries(names.map((name, k) => [name, new Float64Array(buffer, places[k], sizes[name])])) as unknown as {
    [K in keyof KernelSizes]: Float64Array;
  };
  const columnEnd = new Int32Array(buffer, arrays.columnEnd.byteOffset, columns);
  if (code === undefined || memory === undefined) return { arrays, columnEnd, kernel: undefined };
  new Int32Array(buffer, 0, 2 + places.length).set([arm.spans, arm.cables, ...places]);
  const { exports } = new WebAssembly.Instance(code, { env: { memory, sin: Math.sin, cos: Math.cos, exp: Math.exp, atan2: Math.atan2 } });
  (exports["setUp"] as (at: number) => void)(0);
  let used: ArmModel | undefined;
  const calls = exports as unknown as Kernel;
  const kernel: Kernel = {
    strain: arrays.strain,
    lift: arrays.lift,
    tension: arrays.tension,
    denseAt: arrays.dense.byteOffset,
    denseRightAt: arrays.denseRight.byteOffset,
    bendChangeAt: arrays.bendChange.byteOffset,
    useArm: (other) => {
      if (other === used) return;
      fillConstants(other, arrays);
      used = other;
    },
    placeArm: calls.placeArm,
    sweepSpan: calls.sweepSpan,
    shareTensions: calls.shareTensions,
    rateShares: calls.rateShares,
    changeShares: calls.changeShares,
    pullColumn: calls.pullColumn,
    bendChanges: calls.bendChanges,
    reduceColumns: calls.reduceColumns,
    returnColumns: calls.returnColumns,
    products: calls.products,
    combineColumns: calls.combineColumns,
  };
  return { arrays, columnEnd, kernel };
}

function sizesOf(arm: ArmModel, columns: number): KernelSizes {
  const n = arm.spans;
  const c = arm.cables;
  return {
    scratch: 400,
    lead: n,
    flexible: n,
    tail: n,
    free: 4 * n,
    stiffness: 4 * n,
    cableX: c,
    cableY: c,
    passing: Math.ceil(1.5 * n),
    strain: 4 * n,
    frame: 12 * (n + 1),
    turn: 9 * n,
    shift: 3 * n,
    reach: 24 * n,
    coefficient: 8 * n,
    cableRate: 4 * n * c,
    cableLine: 4 * n * c,
    cableLength: c,
    bend: 2 * arm.sections,
    bendWeight: 2 * c,
    loadGradient: 6 * (n + 1),
    loadCurvature: 36 * (n + 1),
    gradient: 4 * n,
    pivot: 16 * n,
    gain: 24 * n,
    weight: 4 * n,
    column: 4 * n * columns,
    columnTip: 6 * columns,
    columnBase: 6 * columns,
    columnFoot: 6 * columns,
    motion: 6 * (n + 1) * columns,
    columnEnd: Math.ceil(columns / 2),
    between: 42,
    lift: 1,
    tension: c,
    share: n * c,
    grip: (n + 1) * c,
    weighted: c,
    floor: c,
    give: c,
    friction: 2,
    shareRate: 8 * n * c,
    shareChange: n * c,
    floorChange: c,
    tensionChange: c,
    bendChange: 2 * arm.sections,
    dense: columns * columns,
    denseRight: columns * columns,
  };
}

function fillConstants(arm: ArmModel, { tail, free, stiffness, cableX, cableY, passing }: KernelArrays["arrays"]): void {
  tail.set(arm.tail);
  free.set(arm.freeStrain);
  cableX.set(arm.cableX);
  cableY.set(arm.cableY);
  const pass = new Int32Array(passing.buffer, passing.byteOffset, 3 * arm.spans);
  for (let i = 0; i < arm.spans; i++) {
    for (let k = 0; k < 4; k++) stiffness[4 * i + k] = Math.abs(arm.stiffness[16 * i + 5 * k] as number);
    const j = arm.sectionOfSpan[i] as number;
    pass[3 * i] = arm.firstCable[j] as number;
    pass[3 * i + 1] = arm.firstCable[j + 1] as number;
    pass[3 * i + 2] = j;
  }
}

let code: WebAssembly.Module | null | undefined;

/** Compiled once a thread; nothing where it may not be. */
function compiled(): WebAssembly.Module | undefined {
  if (code !== undefined) return code ?? undefined;
  code = null;
  try {
    code = new WebAssembly.Module(Uint8Array.from(atob(kernelBytes), (letter) => letter.charCodeAt(0)));
  } catch {
    // no WebAssembly, not this much of it, or a policy against it: the plain way serves
  }
  return code ?? undefined;
}
