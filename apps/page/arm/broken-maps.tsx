/** What a broken cable or lost power does to the whole arm out: how far the tool point goes, and how hard the other cables are pulled. */
import type { BrokenCase } from "../../worker/index.ts";
import { lengthIn, sayLength, sayUse } from "../say.ts";
import { asTable, maps, question } from "../state/arm-room.ts";
import { lengthUnit } from "../state/store.ts";
import { MapCard } from "./map-card.tsx";
import { MapChart } from "./map-chart.tsx";
import { MapTable } from "./map-table.tsx";
import { isKnown, nameCase, sayFall, sayPullLeft, sayStatus } from "./say-maps.ts";

export function BrokenMaps() {
  const { broken } = maps.value;
  const unit = lengthUnit.value;
  const points = broken?.points ?? [];
  const before = broken?.before ?? [];
  if (asTable.value)
    return (
      <div class="map-tables">
        <MapTable
          title="Faults with all of the arm out"
          heads={[
            "fault",
            "comes to rest",
            "tool point moves",
            "drops",
            "first swing at most",
            "strongest cable",
            "on the swing",
            "joint",
            "rod strain",
          ]}
          rows={points.map((one) => [
            nameCase(one),
            sayStatus(one.status),
            ...(isKnown(one.status)
              ? [
                  sayLength(one.moved, unit),
                  sayLength(one.drop, unit),
                  sayLength(one.swing, unit),
                  sayUse(one.uses.cable),
                  sayUse(one.swingCable),
                  sayUse(one.uses.stop),
                  sayUse(one.uses.strain),
                ]
              : Array<string>(7).fill("")),
          ])}
          old={broken !== undefined && broken.of !== question.value}
        />
      </div>
    );
  const cables = points.filter((one) => one.kind === "broken");
  const power = points.filter((one) => one.kind !== "broken");
  // an arm with other cables breaks in other cases: nothing to compare
  const same = before.filter((one, k) => one.kind === "broken" && (cables[k] === undefined || cables[k]?.angle === one.angle));
  const shared = { points: cables, place: (at: number) => at, names: cables.map(nameOf), across: "cable broken, counted from the base" };
  const version = `${broken?.of} ${points.length} ${same.length} ${unit}`;
  return (
    <>
      <div class="map-row two">
        <MapCard
          id="broken"
          title="How far the tool point goes"
          note="bar: at rest; line: first swing at most"
          map={broken}
          says={cables.map((one) => sayFall(one, unit))}
          start={0}
        >
          {(pointed, point) => (
            <MapChart<BrokenCase>
              {...shared}
              before={same}
              lines={[
                { of: (one) => lengthIn(known(one, one.moved), unit), look: "main", bars: true },
                { of: (one) => lengthIn(known(one, one.swing), unit), look: "second" },
              ]}
              version={version}
              pointed={pointed}
              point={point}
              up={unit}
            />
          )}
        </MapCard>
        <MapCard
          id="pull"
          title="Strongest cable left"
          note="bar: at rest; line: on the swing at most"
          map={broken}
          says={cables.map(sayPullLeft)}
          start={0}
        >
          {(pointed, point) => (
            <MapChart<BrokenCase>
              {...shared}
              before={same}
              lines={[
                { of: (one) => 100 * known(one, one.uses.cable), look: "main", bars: true },
                { of: (one) => 100 * known(one, one.swingCable), look: "second" },
              ]}
              version={version}
              pointed={pointed}
              point={point}
              up="% of working load"
            />
          )}
        </MapCard>
      </div>
      <ul class="power-lost quiet" data-test="power-lost">
        {power.map((one) => (
          <li key={one.kind}>{sayFall(one, unit)}</li>
        ))}
      </ul>
    </>
  );
}

function known(one: BrokenCase, value: number): number {
  return isKnown(one.status) ? value : Number.NaN;
}

function nameOf(one: BrokenCase): string {
  return String(one.cable + 1);
}
