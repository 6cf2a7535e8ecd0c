/** The keys of a touch rule, of a body or of a part of one -> the rule. */
import type { TouchRule } from "../space/index.ts";
import type { OpenFault } from "./convert-arm.ts";
import type { PathStep } from "./yaml-text.ts";

/** SI */
export interface TouchKeys {
  readonly touch: TouchRule["kind"];
  readonly "stand-off"?: number | undefined;
  readonly "touch-force"?: number | undefined;
}

/** @param at  path of the group that has the keys */
export function convertTouch(keys: TouchKeys, at: readonly PathStep[], faults: OpenFault[]): TouchRule {
  const { touch, "stand-off": standOff, "touch-force": force } = keys;
  const add = (key: PathStep, problem: string, hint: string): void => {
    faults.push({ code: "job.body", at: [...at, key], problem, hint });
  };
  if (standOff !== undefined && touch !== "never")
    add("stand-off", `is given with touch: ${touch}.`, "A stand-off belongs to touch: never.");
  if (force !== undefined && touch !== "light")
    add("touch-force", `is given with touch: ${touch}.`, "A touch-force belongs to touch: light.");
  if (touch === "light" && force === undefined) add("touch-force", "is missing.", "Say up to which force the body may be touched, as 2 N.");
  if (touch === "free") return { kind: "free" };
  return touch === "light" ? { kind: "light", force: force ?? 0 } : { kind: "never", standOff: standOff ?? 0 };
}
