/** A lane's numbers at the cursor, of both ways. What breaks the limit says so by a mark and a word. */
import { depth, nearestRecord, record, recordsIn, recordsOut, way } from "../state/store.ts";
import { type Lane, standsToLimit } from "./lanes.ts";

export function LaneReading({ lane }: { lane: Lane }) {
  const at = record.value?.depth ?? depth.value;
  const { limit } = lane;
  return (
    <div class="lane-reading" data-test={`reading-${lane.id}`}>
      {(["in", "out"] as const).map((one) => {
        const here = nearestRecord((one === "in" ? recordsIn : recordsOut).value, at);
        const values = here === undefined ? [] : lane.lines.map((line) => line.of(here));
        const stands = here === undefined ? "holds" : standsToLimit(lane, here);
        return (
          <span
            key={one}
            class={`reading${way.value === one ? " on" : ""}${stands === "holds" ? "" : ` ${stands}`}`}
            title={lane.lines.map((line) => line.says).join("\u2009/\u2009")}
          >
            {stands === "broken" ? (
              <span role="img" aria-label={limit?.side === "least" ? "below" : "over"}>
                {limit?.side === "least" ? "▼" : "▲"}
              </span>
            ) : null}
            {stands === "open" ? (
              <span role="img" aria-label="not shown to hold">
                ?
              </span>
            ) : null}
            {values.length === 0 ? "–" : values.map((value) => sayValue(value, lane)).join(" / ")}
          </span>
        );
      })}
    </div>
  );
}

function sayValue(value: number, lane: Lane): string {
  if (!Number.isFinite(value)) return lane.missing ?? "not known";
  const text = value.toFixed(lane.digits);
  return (Number(text) === 0 ? text.replace("-", "") : text).replace("-", "\u2212");
}
