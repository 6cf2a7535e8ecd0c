/** A lane's numbers at the cursor, of both ways. What breaks the limit says so by a mark and a word. */
import { depth, nearestRecord, record, recordsIn, recordsOut, way } from "../state/store.ts";
import { breaksLimit, type Lane } from "./lanes.ts";

export function LaneReading({ lane }: { lane: Lane }) {
  const at = record.value?.depth ?? depth.value;
  const { limit } = lane;
  return (
    <div class="lane-reading" data-test={`reading-${lane.id}`}>
      {(["in", "out"] as const).map((one) => {
        const here = nearestRecord((one === "in" ? recordsIn : recordsOut).value, at);
        const values = here === undefined ? [] : lane.lines.map((line) => line.of(here));
        const bad = here !== undefined && breaksLimit(lane, here);
        return (
          <span
            key={one}
            class={`reading${way.value === one ? " on" : ""}${bad ? " bad" : ""}`}
            title={lane.lines.map((line) => line.says).join(" / ")}
          >
            {bad ? (
              <span role="img" aria-label={limit?.side === "least" ? "below" : "over"}>
                {limit?.side === "least" ? "▼" : "▲"}
              </span>
            ) : null}
            {values.length === 0 ? "–" : values.map((value) => (Number.isFinite(value) ? value.toFixed(lane.digits) : "–")).join(" / ")}
          </span>
        );
      })}
    </div>
  );
}
