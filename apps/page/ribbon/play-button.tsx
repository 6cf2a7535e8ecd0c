/** Runs the cursor over the solved depths, in on the way in and out on the way out. */
import { useEffect, useState } from "preact/hooks";
import { stepDepth } from "../state/cursor.ts";
import { recordIndex, records, way } from "../state/store.ts";

/** ms a solved depth */
const pace = 120;

export function PlayButton() {
  const [playing, setPlaying] = useState(false);
  useEffect(() => {
    if (!playing) return;
    const timer = setInterval(() => {
      const last = way.value === "in" ? records.value.length - 1 : 0;
      if (recordIndex.value === last) setPlaying(false);
      else stepDepth(way.value === "in" ? 1 : -1);
    }, pace);
    return () => clearInterval(timer);
  }, [playing]);
  const start = () => {
    const last = way.value === "in" ? records.value.length - 1 : 0;
    if (recordIndex.value === last) stepDepth(way.value === "in" ? -Infinity : Infinity);
    setPlaying(true);
  };
  return (
    <button type="button" class="plain" disabled={records.value.length < 2} onClick={() => (playing ? setPlaying(false) : start())}>
      {playing ? "Pause" : "Run"}
    </button>
  );
}
