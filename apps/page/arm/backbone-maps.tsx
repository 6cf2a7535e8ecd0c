/** The same arm with one backbone and with two, under the same load: how far its tool point sags and how much its tip twists. */
import type { BackboneKind, BackbonePoint, BackboneRow } from "../../worker/index.ts";
import { type LengthUnit, lengthIn, sayAngle, sayLength, sayUse } from "../say.ts";
import { asTable, maps, question } from "../state/arm-room.ts";
import { lengthUnit } from "../state/store.ts";
import { MapCard } from "./map-card.tsx";
import { MapChart } from "./map-chart.tsx";
import { MapTable } from "./map-table.tsx";
import { isKnown, sayStatus } from "./say-maps.ts";

const names: Readonly<Record<BackboneKind, string>> = {
  given: "as it is",
  "one-rod": "one rod, as thick",
  "one-stiff-rod": "one rod, as stiff to bend",
  twin: "two rods, as thick",
};
const looks = ["main", "second", "third", "fourth"] as const;

export function BackboneMaps() {
  const { backbones } = maps.value;
  const unit = lengthUnit.value;
  const points = backbones?.points ?? [];
  const kinds = points[0]?.rows.map((row) => row.kind) ?? [];
  if (asTable.value)
    return (
      <div class="map-tables">
        {kinds.map((kind, k) => (
          <MapTable
            key={kind}
            title={`Backbone ${names[kind]}`}
            heads={["out", "sag", "twist by the load", "joint", "rod strain", "comes to rest"]}
            rows={points.map((point) => [sayLength(point.at, unit), ...tableRow(point.rows[k], unit)])}
            old={backbones !== undefined && backbones.of !== question.value}
          />
        ))}
      </div>
    );
  const says = points.map((point) => sayPoint(point, unit));
  const version = `${backbones?.of} ${points.length} ${kinds.join()} ${unit}`;
  const shared = {
    points,
    before: [],
    place: (at: number) => lengthIn(at, unit),
    version,
    to: lengthIn(backbones?.frame.length ?? 1, unit),
    across: `length out, ${unit}`,
  };
  const lines = (of: (row: BackboneRow) => number) =>
    kinds.map((_, k) => ({ of: (point: BackbonePoint) => known(point.rows[k], of), look: looks[k] ?? "fourth" }));
  const note = "drives locked, then weight, tool and load come on";
  return (
    <>
      <div class="map-row two">
        <MapCard id="backbone-twist" title="Twist of the tip" note={note} map={backbones} says={says} start={points.length - 1}>
          {(pointed, point) => (
            <MapChart<BackbonePoint>
              {...shared}
              lines={lines((row) => (Math.abs(twistOf(row)) * 180) / Math.PI)}
              pointed={pointed}
              point={point}
              up="°"
            />
          )}
        </MapCard>
        <MapCard id="backbone-sag" title="Sag of the tool point" note={note} map={backbones} says={says} start={points.length - 1}>
          {(pointed, point) => (
            <MapChart<BackbonePoint>
              {...shared}
              lines={lines((row) => lengthIn(row.sag, unit))}
              pointed={pointed}
              point={point}
              up={unit}
            />
          )}
        </MapCard>
      </div>
      <ul class="line-key" data-test="backbones">
        {kinds.map((kind, k) => (
          <li key={kind}>
            <svg width="26" height="8" aria-hidden="true">
              <path class={`key-line ${looks[k]}`} d="M1,4H25" />
            </svg>{" "}
            {names[kind]}
          </li>
        ))}
        {kinds.length === 1 ? <li>No other backbone fits into these vertebrae.</li> : null}
        {backbones?.frame.losesChannel === true && kinds.length > 1 ? (
          <li>A rod on the axis takes the place of the working channel.</li>
        ) : null}
      </ul>
    </>
  );
}

/** What the load adds to the twist that the locked bends have by themselves. */
function twistOf(row: BackboneRow): number {
  return row.twist - row.twistBefore;
}

/** Nothing that did not come to rest is drawn. */
function known(row: BackboneRow | undefined, of: (row: BackboneRow) => number): number {
  return row !== undefined && isKnown(row.status) ? of(row) : Number.NaN;
}

function sayPoint(point: BackbonePoint, unit: LengthUnit): string {
  const each = point.rows.map((row) => {
    const name = names[row.kind];
    if (isKnown(row.status)) return `${name} ${sayAngle(Math.abs(twistOf(row)))} of twist, ${sayLength(row.sag, unit)} of sag`;
    if (row.status === "buckled") return `${name} it falls ${row.share > 0 ? `with ${sayUse(row.share)} of the load on` : "by itself"}`;
    return `${name} not known, no balance was found`;
  });
  return `${sayLength(point.at, unit)} out: ${each.join("; ")}.`;
}

function tableRow(row: BackboneRow | undefined, unit: LengthUnit): string[] {
  if (row === undefined || !isKnown(row.status)) return ["", "", "", "", row === undefined ? "" : sayStatus(row.status)];
  return [
    sayLength(row.sag, unit),
    sayAngle(Math.abs(twistOf(row))),
    sayUse(row.uses.stop),
    sayUse(row.uses.strain),
    sayStatus(row.status),
  ];
}
