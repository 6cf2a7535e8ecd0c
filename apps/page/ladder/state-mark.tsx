/** A margin's state as a shape, so that it is told without its colour. */
import type { MarginRow } from "../../../src/verdict/index.ts";

const words = { ok: "within the limit", warning: "close to the limit", over: "over the limit", unknown: "not known" } as const;

type Marked = Pick<MarginRow, "state" | "use" | "warnAbove">;

/** Over the limit only once something has failed: told, and no reason for a no. */
export function isRisk({ state, use }: Marked): boolean {
  return state === "warning" && use > 1;
}

export function StateMark({ row }: { row: Marked }) {
  const { state } = row;
  return (
    <svg class={`mark ${state}`} viewBox="0 0 16 16" role="img" aria-label={sayState(row)}>
      {state === "ok" ? <circle cx="8" cy="8" r="5" /> : null}
      {state === "warning" ? <path d="M8 1.5 15 14H1Z" /> : null}
      {state === "over" ? <path d="M4.8 1.5h6.4l3.3 3.3v6.4l-3.3 3.3H4.8L1.5 11.200V4.800Z" /> : null}
      {state === "unknown" ? <path class="hollow" d="M8 2 14 8 8 14 2 8Z" /> : null}
      {state === "warning" ? <path class="bar" d="M8 6v4M8 11.400v1.200" /> : null}
      {state === "over" ? <path class="bar" d="M5.200 5.200l5.600 5.600M10.800 5.200l-5.600 5.600" /> : null}
    </svg>
  );
}

function sayState(row: Marked): string {
  if (isRisk(row)) return "a risk if it fails";
  return row.state === "warning" && row.use <= row.warnAbove ? "within the limit, with a condition" : words[row.state];
}
