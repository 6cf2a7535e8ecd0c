/** The largest load on the tip before the first limit is met: by direction, by length out, by pretension. */
import type { MapFrame, PayloadPoint } from "../../worker/index.ts";
import { type LengthUnit, lengthIn, sayForce, sayLength, sayMass } from "../say.ts";
import { asked, asTable, maps, question, type ShownMap } from "../state/arm-room.ts";
import { lengthUnit } from "../state/store.ts";
import { LimitKey } from "./limit-marks.tsx";
import { LoadRose } from "./load-rose.tsx";
import { MapCard } from "./map-card.tsx";
import { MapChart } from "./map-chart.tsx";
import { MapTable } from "./map-table.tsx";
import { sayLimit, sayPayload } from "./say-maps.ts";

export function PayloadMaps() {
  const { direction, length, pretension } = maps.value;
  const unit = lengthUnit.value;
  if (asTable.value)
    return (
      <div class="map-tables">
        {direction === undefined ? null : (
          <PayloadTable title="By direction" head="direction" map={direction} name={(p) => nameDirection(p, direction.frame)} unit={unit} />
        )}
        {length === undefined ? null : (
          <PayloadTable title="By length out" head="out" map={length} name={(p) => sayLength(p.at, unit)} unit={unit} />
        )}
        {pretension === undefined ? null : (
          <PayloadTable title="By pretension" head="pretension" map={pretension} name={(p) => sayForce(p.at)} unit={unit} />
        )}
      </div>
    );
  const ends = [direction, length, pretension].flatMap((map) => (map as ShownMap<"length"> | undefined)?.points.map((p) => p.end) ?? []);
  return (
    <>
      <div class="map-row three">
        <ByDirection map={direction} unit={unit} />
        <ByLength map={length} unit={unit} />
        <ByPretension map={pretension} unit={unit} />
      </div>
      <LimitKey ends={ends} />
    </>
  );
}

function ByDirection({ map, unit }: { readonly map: ShownMap<"direction"> | undefined; readonly unit: LengthUnit }) {
  const across = (map?.points ?? []).filter((one) => one.way === undefined);
  const along = (map?.points ?? []).filter((one) => one.way !== undefined);
  const before = (map?.before ?? []).filter((one) => one.way === undefined);
  const says = [...across, ...along].map((one) => sayPayload(one, map === undefined ? "" : nameDirection(one, map.frame), unit));
  return (
    <MapCard
      id="direction"
      title="Payload by direction"
      note={asked.value.lies === "planned" ? "furthest in, seen from behind the tip" : "all of it out, seen from the base"}
      map={map}
      says={says}
      limits={[...across, ...along].map((one) => one.place)}
      start={0}
    >
      {(pointed, point) =>
        map === undefined ? null : (
          <>
            <LoadRose frame={map.frame} points={across} before={before} pointed={pointed} point={point} />
            <ul class="along">
              {along.map((one, k) => (
                <li key={one.way} class={pointed === across.length + k ? "pointed" : ""} onPointerEnter={() => point(across.length + k)}>
                  {one.way} <b>{one.end === "not-locked" ? "not known" : sayForce(one.load)}</b>
                </li>
              ))}
            </ul>
          </>
        )
      }
    </MapCard>
  );
}

function ByLength({ map, unit }: { readonly map: ShownMap<"length"> | undefined; readonly unit: LengthUnit }) {
  const points = map?.points ?? [];
  const says = points.map((one) => sayPayload(one, `${sayLength(one.at, unit)} out`, unit));
  return (
    <MapCard
      id="length"
      title="Payload by length out"
      note={`load ${asked.value.load}`}
      map={map}
      says={says}
      limits={points.map((one) => one.place)}
      start={points.length - 1}
    >
      {(pointed, point) => (
        <MapChart
          {...chartOf(map, (at) => lengthIn(at, unit), unit)}
          to={lengthIn(map?.frame.length ?? 1, unit)}
          pointed={pointed}
          point={point}
          across={`length out, ${unit}`}
        />
      )}
    </MapCard>
  );
}

function ByPretension({ map, unit }: { readonly map: ShownMap<"pretension"> | undefined; readonly unit: LengthUnit }) {
  const points = map?.points ?? [];
  const own = map?.frame.pretension ?? Number.NaN;
  const says = points.map((one) => sayPayload(one, `${one.at === own ? "The arm's own " : ""}${sayForce(one.at)} everywhere`, unit));
  return (
    <MapCard
      id="pretension"
      title="Payload by pretension"
      note={`load ${asked.value.load}`}
      map={map}
      says={says}
      limits={points.map((one) => one.place)}
      start={Math.max(
        0,
        points.findIndex((one) => one.at === own),
      )}
    >
      {(pointed, point) => (
        <MapChart
          {...chartOf(map, (at) => at, unit)}
          {...(Number.isNaN(own) ? {} : { own })}
          pointed={pointed}
          point={point}
          across="pretension of every cable, N"
        />
      )}
    </MapCard>
  );
}

/** Old and new points over the same places: what one of them lacks is a gap that the line spans. */
function chartOf(map: ShownMap<"length"> | ShownMap<"pretension"> | undefined, place: (at: number) => number, unit: LengthUnit) {
  const points = map?.points ?? [];
  const before = map?.before ?? [];
  const lines = [{ of: loadOf, look: "main" }] as const;
  return { points, before, place, lines, version: `${map?.of} ${points.length} ${before.length} ${unit}`, up: "N" };
}

/** Where nothing was found to hold, there is no point. */
function loadOf(point: PayloadPoint): number {
  return point.end === "not-locked" ? Number.NaN : point.load;
}

function nameDirection(point: PayloadPoint, frame: MapFrame): string {
  if (point.way !== undefined) return point.way === "outwards" ? "Outwards, along the arm" : "Inwards, along the arm";
  const [down, left, up, right] = frame.names;
  const eighth = Math.round((8 * point.at) / Math.PI);
  const main = [down, left, up, right][Math.round(eighth / 4) % 4] as string;
  if (eighth % 4 === 0) return main.charAt(0).toUpperCase() + main.slice(1);
  const lower = [down, left, up, right][Math.floor(eighth / 4) % 4] as string;
  const upper = [down, left, up, right][(Math.floor(eighth / 4) + 1) % 4] as string;
  const turned = (eighth % 4) * 22.5;
  return `${turned.toFixed(turned % 1 === 0 ? 0 : 1)}° from ${lower} to ${upper}`;
}

interface TableProps {
  readonly title: string;
  readonly head: string;
  readonly map: { readonly of: string; readonly points: readonly PayloadPoint[] };
  readonly name: (point: PayloadPoint) => string;
  readonly unit: LengthUnit;
}

function PayloadTable({ title, head, map, name, unit }: TableProps) {
  const rows = map.points.map((one) => [
    name(one),
    one.end === "not-locked"
      ? "not known"
      : one.bound === 0
        ? "none"
        : `${one.end === "unconverged" || one.end === "most" ? "at least " : ""}${sayForce(one.load)}`,
    one.end === "not-locked" || one.bound === 0 ? "" : sayMass(one.load),
    sayLimit(one),
    one.end === "not-locked" ? "" : sayLength(one.uses.moved, unit),
  ]);
  return (
    <MapTable
      title={title}
      heads={[head, "payload", "as a mass", "first limit", "tool point moved"]}
      rows={rows}
      old={map.of !== question.value}
    />
  );
}
