/** Where the arm comes to rest under its weight and a load, and how it swings, against the length out. */
import type { RestPoint, SwingPoint } from "../../worker/index.ts";
import { lengthIn, sayAngle, sayLength } from "../say.ts";
import { asTable, maps, question } from "../state/arm-room.ts";
import { lengthUnit } from "../state/store.ts";
import { MapCard } from "./map-card.tsx";
import { MapChart } from "./map-chart.tsx";
import { MapTable } from "./map-table.tsx";
import { isKnown, sayHertz, saySag, saySeconds, sayStatus, saySwing, sayTwist } from "./say-maps.ts";

const sagNote = "weight, tool, load; drives locked before";

export function RestMaps() {
  const { rest, swing } = maps.value;
  const unit = lengthUnit.value;
  const restPoints = rest?.points ?? [];
  const swingPoints = swing?.points ?? [];
  if (asTable.value)
    return (
      <div class="map-tables">
        <MapTable
          title={`Sag by length out: ${sagNote}`}
          heads={["out", "sag", "down", "twist of the tip", "comes to rest"]}
          rows={restPoints.map((one) => [
            sayLength(one.at, unit),
            ...(isKnown(one.status)
              ? [sayLength(one.moved, unit), sayLength(one.drop, unit), sayAngle(Math.abs(one.twist))]
              : ["", "", ""]),
            sayStatus(one.status),
          ])}
          old={rest !== undefined && rest.of !== question.value}
        />
        <MapTable
          title="Swings by length out"
          heads={["out", "first", "second", "settles in", "from", "to"]}
          rows={swingPoints.map((one) => [
            sayLength(one.at, unit),
            sayHertz(one.frequency),
            ...(one.found
              ? [sayHertz(one.second), ...[one.settling, one.settlingLeast, one.settlingMost].map(saySeconds)]
              : ["", "", "", ""]),
          ])}
          old={swing !== undefined && swing.of !== question.value}
        />
      </div>
    );
  const place = (at: number) => lengthIn(at, unit);
  const version = (map: { readonly of: string } | undefined, points: readonly unknown[], before: readonly unknown[]) =>
    `${map?.of} ${points.length} ${before.length} ${unit}`;
  const to = lengthIn((rest ?? swing)?.frame.length ?? 1, unit);
  return (
    <div class="map-row three">
      <MapCard
        id="rest"
        title="Sag by length out"
        note={sagNote}
        map={rest}
        says={restPoints.map((one) => saySag(one, `${sayLength(one.at, unit)} out`, unit))}
        start={restPoints.length - 1}
      >
        {(pointed, point) => (
          <MapChart<RestPoint>
            points={restPoints}
            before={rest?.before ?? []}
            place={place}
            lines={[{ of: (one) => lengthIn(known(one, one.moved), unit), look: "main" }]}
            version={version(rest, restPoints, rest?.before ?? [])}
            pointed={pointed}
            point={point}
            to={to}
            across={`length out, ${unit}`}
            up={unit}
          />
        )}
      </MapCard>
      <MapCard
        id="twist"
        title="Twist by length out"
        note={sagNote}
        map={rest}
        says={restPoints.map((one) => sayTwist(one, `${sayLength(one.at, unit)} out`))}
        start={restPoints.length - 1}
      >
        {(pointed, point) => (
          <MapChart<RestPoint>
            points={restPoints}
            before={rest?.before ?? []}
            place={place}
            lines={[{ of: (one) => (Math.abs(known(one, one.twist)) * 180) / Math.PI, look: "main" }]}
            version={version(rest, restPoints, rest?.before ?? [])}
            pointed={pointed}
            point={point}
            to={to}
            across={`length out, ${unit}`}
            up="°"
          />
        )}
      </MapCard>
      <MapCard
        id="swing"
        title="Swing by length out"
        note="lowest two, drives locked"
        map={swing}
        says={swingPoints.map((one) => saySwing(one, `${sayLength(one.at, unit)} out`))}
        start={swingPoints.length - 1}
      >
        {(pointed, point) => (
          <MapChart<SwingPoint>
            points={swingPoints}
            before={swing?.before ?? []}
            place={place}
            lines={[
              { of: (one) => one.frequency, look: "main" },
              { of: (one) => one.second, look: "second" },
            ]}
            version={version(swing, swingPoints, swing?.before ?? [])}
            pointed={pointed}
            point={point}
            to={to}
            across={`length out, ${unit}`}
            up="Hz"
          />
        )}
      </MapCard>
    </div>
  );
}

/** Nothing that did not come to rest is drawn. */
function known(point: RestPoint, value: number): number {
  return isKnown(point.status) ? value : Number.NaN;
}
