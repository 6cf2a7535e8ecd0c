/** What one stalled drive does while a section is sent elsewhere: how far astray the tool point ends, how hard it pulls, and the shape. */
import { useState } from "preact/hooks";
import type { StalledCase } from "../../worker/index.ts";
import { lengthIn, sayForce, sayLength, sayUse } from "../say.ts";
import { asked, asTable, maps, question } from "../state/arm-room.ts";
import { lengthUnit } from "../state/store.ts";
import { MapCard } from "./map-card.tsx";
import { MapChart } from "./map-chart.tsx";
import { MapTable } from "./map-table.tsx";
import { isKnown, nameCase, sayAstray, sayEnergy, sayStalledPull, sayStatus } from "./say-maps.ts";
import { StalledShape } from "./stalled-shape.tsx";

export function StalledMaps() {
  const { stalled } = maps.value;
  const unit = lengthUnit.value;
  const points = stalled?.points ?? [];
  const before = stalled?.before ?? [];
  const [looked, look] = useState<number | undefined>(undefined);
  if (asTable.value)
    return (
      <div class="map-tables">
        <MapTable
          title="Each drive stalled, the others gone where they are sent"
          heads={[
            "stalled",
            "comes to rest",
            "tool point astray",
            "drops",
            "its cable",
            "strongest cable",
            "joint",
            "rod strain",
            "in cables",
            "in rods",
          ]}
          rows={points.map((one) => [
            nameCase(one),
            sayStatus(one.status),
            ...(isKnown(one.status)
              ? [
                  sayLength(one.stall?.astray ?? Number.NaN, unit),
                  sayLength(one.drop, unit),
                  sayForce(one.tension[one.cable] as number),
                  sayUse(one.uses.cable),
                  sayUse(one.uses.stop),
                  sayUse(one.uses.strain),
                  sayEnergy(one.stored),
                  sayEnergy(one.storedInRods),
                ]
              : Array<string>(8).fill("")),
          ])}
          old={stalled !== undefined && stalled.of !== question.value}
        />
      </div>
    );
  const same = before.filter((one, k) => points[k] === undefined || points[k]?.angle === one.angle);
  const shared = {
    points,
    before: same,
    place: (at: number) => at,
    names: points.map(nameOf),
    across: "drive stalled, counted from the base",
  };
  const version = `${stalled?.of} ${points.length} ${same.length} ${unit}`;
  // the drives that have most to do
  const sent = Math.min(asked.value.sent.section, (points.at(-1)?.section ?? 1) - 1) + 1;
  const first = Math.max(
    0,
    points.findIndex((one) => one.section === sent),
  );
  const now = Math.min(looked ?? first, points.length - 1);
  return (
    <div class="map-row three">
      <MapCard
        id="stalled"
        title="How far astray"
        note="tool point from where it was sent"
        map={stalled}
        says={points.map((one) => sayAstray(one, unit))}
        limits={points.map((one) => one.place)}
        start={first}
        together={{ at: looked, go: look }}
      >
        {(pointed, point) => (
          <MapChart<StalledCase>
            {...shared}
            lines={[{ of: (one) => lengthIn(known(one, one.stall?.astray ?? Number.NaN), unit), look: "main", bars: true }]}
            version={version}
            pointed={pointed}
            point={point}
            up={unit}
          />
        )}
      </MapCard>
      <MapCard
        id="stalled-pull"
        title="Strongest cable"
        note="the others where they were sent"
        map={stalled}
        says={points.map(sayStalledPull)}
        start={first}
        together={{ at: looked, go: look }}
      >
        {(pointed, point) => (
          <MapChart<StalledCase>
            {...shared}
            lines={[{ of: (one) => 100 * known(one, one.uses.cable), look: "main", bars: true }]}
            version={version}
            pointed={pointed}
            point={point}
            up="% of working load"
          />
        )}
      </MapCard>
      <StalledShape
        one={points[now]}
        names={points.map(nameCase)}
        looked={now}
        look={look}
        old={stalled !== undefined && stalled.of !== question.value}
      />
    </div>
  );
}

function known(one: StalledCase, value: number): number {
  return isKnown(one.status) ? value : Number.NaN;
}

function nameOf(one: StalledCase): string {
  return String(one.cable + 1);
}
