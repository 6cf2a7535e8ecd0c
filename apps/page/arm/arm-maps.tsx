/** What the arm as it stands can do: maps under four headings, drawn anew whenever a number or the question changes. */
import { armMaps, armTabs, asTable, drawing, maps, mapsOf, question, within } from "../state/arm-room.ts";
import { goOnWithMaps, stopMaps } from "../state/draw-maps.ts";
import { ArmAsking } from "./arm-asking.tsx";
import { BackboneMaps } from "./backbone-maps.tsx";
import { BrokenMaps } from "./broken-maps.tsx";
import { PayloadMaps } from "./payload-maps.tsx";
import { RestMaps } from "./rest-maps.tsx";
import { StalledMaps } from "./stalled-maps.tsx";

const titles = {
  payload: "Payload",
  rest: "Sag and swing",
  broken: "Broken cable",
  stalled: "Stalled drive",
  backbones: "One rod or two",
} as const;
const rooms = { payload: PayloadMaps, rest: RestMaps, broken: BrokenMaps, stalled: StalledMaps, backbones: BackboneMaps } as const;

export function ArmMaps() {
  const tab = armMaps.value;
  const Shown = rooms[tab];
  const go = (by: number) => {
    const next = armTabs[(armTabs.indexOf(tab) + by + armTabs.length) % armTabs.length];
    if (next === undefined) return;
    armMaps.value = next;
    document.getElementById(`maps-${next}`)?.focus();
  };
  return (
    <section class="card arm-maps" aria-label="What the arm can do">
      <div class="maps-head">
        <div class="tabs" role="tablist" aria-label="Maps">
          {armTabs.map((one) => (
            <button
              key={one}
              type="button"
              role="tab"
              id={`maps-${one}`}
              aria-selected={tab === one}
              aria-controls="maps-body"
              tabIndex={tab === one ? 0 : -1}
              onClick={() => {
                armMaps.value = one;
              }}
              onKeyDown={(event) => {
                if (event.key === "ArrowLeft") go(-1);
                if (event.key === "ArrowRight") go(1);
              }}
            >
              {titles[one]}
            </button>
          ))}
        </div>
        <Progress />
        <button
          type="button"
          aria-pressed={asTable.value}
          onClick={() => {
            asTable.value = !asTable.value;
          }}
        >
          As a table
        </button>
      </div>
      <ArmAsking />
      <div class="maps-body" id="maps-body" role="tabpanel" aria-labelledby={`maps-${tab}`}>
        <Shown />
      </div>
    </section>
  );
}

/** How far the maps of this tab are, and how to stop them. */
function Progress() {
  const now = drawing.value;
  if (now.kind === "lost")
    return (
      <p class="maps-state over" role="alert" data-test="maps-state">
        The maps stopped by themselves ({now.says}).{" "}
        <button type="button" class="link" onClick={goOnWithMaps}>
          Start again
        </button>
      </p>
    );
  const own = mapsOf[armMaps.value].map((map) => (maps.value[map]?.of === question.value ? maps.value[map] : undefined));
  const share = own.reduce((sum, map) => sum + (map?.progress ?? 0), 0) / own.length;
  const done = own.every((map) => map?.done === true);
  if (now.kind === "stopped" && !done)
    return (
      <p class="maps-state" role="status" data-test="maps-state">
        Stopped; what is drawn is not complete.{" "}
        <button type="button" class="link" onClick={goOnWithMaps}>
          Go on
        </button>
      </p>
    );
  if (done || now.kind === "idle")
    return (
      <p class="maps-state quiet" role="status" data-test="maps-state">
        {done
          ? `Simulated, ${within.value}, without contact.${own.some((map) => map?.before !== undefined) ? " Dotted: before." : ""}`
          : ""}
      </p>
    );
  return (
    <p class="maps-state" role="status" data-test="maps-state">
      <progress max={1} value={share} aria-label="Progress of the maps" /> {Math.round(100 * share)} %{" "}
      <button type="button" class="link" onClick={stopMaps}>
        Stop
      </button>
    </p>
  );
}
