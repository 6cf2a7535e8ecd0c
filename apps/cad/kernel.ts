/** The CAD kernel as this project uses it: its package has no types of its own. It is loaded beside our code, never bundled with it. */
import type { SurfaceAsk } from "../../src/job/index.ts";

export interface KernelNode {
  readonly name: string;
  /** indices of meshes */
  readonly meshes: readonly number[];
  readonly children: readonly KernelNode[];
}

export interface KernelResult {
  readonly success: boolean;
  readonly root: KernelNode;
  readonly meshes: readonly {
    readonly name: string;
    /** [corner, 3] */
    readonly attributes: { readonly position: { readonly array: readonly number[] } };
    /** [triangle, 3] corners */
    readonly index: { readonly array: readonly number[] };
    /** first and last triangle of each face */
    readonly brep_faces: readonly { readonly first: number; readonly last: number }[];
  }[];
}

export interface KernelOptions {
  readonly linearUnit: "millimeter";
  readonly linearDeflectionType: "absolute_value";
  readonly linearDeflection: number;
  readonly angularDeflection: number;
}

type Read = (content: Uint8Array, options: KernelOptions) => KernelResult;

export interface CadKernel {
  readonly ReadStepFile: Read;
  readonly ReadIgesFile: Read;
  readonly ReadBrepFile: Read;
}

export interface KernelSetting {
  print(line: string): void;
  printErr(line: string): void;
  locateFile?(name: string): string;
}

export type LoadKernel = (setting: KernelSetting) => Promise<CadKernel>;

/** Time and memory that one file may take, and the address of the kernel where it is fetched. */
export interface CadTask {
  readonly ask: SurfaceAsk;
  readonly bytes: Uint8Array;
  /** greatest memory of the kernel, bytes */
  readonly memory: number;
  /** folder of the kernel's files; for a browser alone */
  readonly kernel?: string;
}

export const cadLimits = {
  /** ms */
  time: 300_000,
  /** bytes; the kernel itself ends at 2 GiB */
  memory: 1536 * 2 ** 20,
} as const;
