/**
 * The one kind of error that bad input may raise.
 *
 * A fault names the place, the value, what was expected and how to mend it. All faults of one stage are
 * gathered before anything is thrown. Codes are listed in `codes.ts` and explained in docs/errors.md.
 */
import type { FaultCode } from "./codes.ts";

export interface Fault {
  /** stable identifier, one of `faultCodes` */
  readonly code: FaultCode;
  /** where in the input, as `sections[2].length`; empty for the whole input */
  readonly path: string;
  /** what is wrong, with the value received */
  readonly problem: string;
  /** what was expected and how to mend it */
  readonly hint: string;
  /** the value as it was received, in words */
  readonly received?: string;
  readonly file?: string;
  /** first line is 1 */
  readonly line?: number;
  /** first column is 1 */
  readonly column?: number;
}

export class InputError extends Error {
  override readonly name = "InputError";
  readonly faults: readonly Fault[];

  constructor(faults: readonly Fault[]) {
    super(faults.map(sayFault).join("\n"));
    this.faults = faults;
  }
}

/** One fault as a line a person can act on: `job.yaml:12:3 sections[2].length: is -4 mm. Give a length above 0.` */
export function sayFault(fault: Fault): string {
  const place = fault.file === undefined ? "" : `${fault.file}${fault.line === undefined ? "" : `:${fault.line}:${fault.column ?? 1}`} `;
  const path = fault.path === "" ? "" : `${fault.path}: `;
  return `${place}${path}${fault.problem} ${fault.hint} [${fault.code}]`;
}

/** Throws one InputError with every fault found; does nothing when there is none. */
export function refuse(faults: readonly Fault[]): void {
  if (faults.length > 0) throw new InputError(faults);
}
