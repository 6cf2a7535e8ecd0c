/** The margin ladder: the verdict's rows, worst first. A row sends cursor and view to the place it speaks of. */
import { useEffect, useRef } from "preact/hooks";
import type { MarginRange } from "../../../src/study/index.ts";
import type { MarginRow } from "../../../src/verdict/index.ts";
import { readMargin } from "../../worker/index.ts";
import { type LengthUnit, sayAmount, sayUse } from "../say.ts";
import { goToRow } from "../state/cursor.ts";
import { drawnMargin } from "../state/draws.ts";
import { lengthUnit, plan, pointedPlace } from "../state/store.ts";
import { isRisk, StateMark } from "./state-mark.tsx";

export function MarginLadder() {
  const rows = plan.value?.verdict.rows ?? [];
  if (rows.length === 0) return null;
  return (
    <section aria-label="Margin ladder">
      <header class="panel-head">
        <h2>Margin ladder</h2>
        <span class="quiet">worst first; bar: use of the limit</span>
      </header>
      <ol class="ladder">
        {rows.map((row) => (
          <Rung key={row.id} row={row} />
        ))}
      </ol>
    </section>
  );
}

function Rung({ row }: { row: MarginRow }) {
  const unit = lengthUnit.value;
  const open = pointedPlace.value?.id === row.id;
  const rung = useRef<HTMLLIElement>(null);
  // what opens below the fold is brought into sight
  useEffect(() => {
    if (open) rung.current?.scrollIntoView({ block: "nearest" });
  }, [open]);
  const range = drawnMargin(row.id);
  const known = row.state !== "unknown" && !Number.isNaN(row.use);
  return (
    <li ref={rung} class={`rung ${row.state}${open ? " open" : ""}`} data-test={`row-${row.id}`}>
      <button type="button" class="rung-go" aria-expanded={open} onClick={() => goToRow(row)}>
        <span class="rung-title">
          <StateMark row={row} /> {row.title}
        </span>
        <span class="rung-use">{known ? `${isRisk(row) ? "risk, " : ""}${sayUse(row.use)}` : "not known"}</span>
        <span class="rung-bar" aria-hidden="true">
          {known ? <i style={{ width: `${Math.min(100, (100 * row.use) / 1.25)}%` }} /> : null}
          {range === undefined || Number.isNaN(range.use[2]) ? null : <Band use={range.use} />}
          <b class="rung-warn" style={{ left: `${(100 * row.warnAbove) / 1.25}%` }} />
          <b class="rung-limit" />
        </span>
        <span class="rung-numbers quiet">{sayNumbers(row, unit)}</span>
        <span class="rung-where quiet">{row.whereSays}</span>
      </button>
      {open ? (
        <div class="rung-more">
          {row.gains.length > 0 ? (
            <ul>
              {row.gains.map((gain) => (
                <li key={gain.says}>
                  {gain.says} <span class="tag">{gain.from === "planned" ? "planned again" : "estimate"}</span>
                </li>
              ))}
            </ul>
          ) : (
            <p>There is no estimate of what would gain it.</p>
          )}
          {range === undefined ? null : <p class="quiet">{sayRange(range, unit)}</p>}
          {row.spread === undefined ? null : <p class="quiet">{saySpread(row.spread, row, unit)}</p>}
          {row.note === undefined ? null : <p class="quiet">{row.note}</p>}
        </div>
      ) : null}
    </li>
  );
}

/** From where 5 % of the draws use less to where 5 % use more. */
function Band({ use }: { use: MarginRange["use"] }) {
  const [from, to] = [use[0], use[2]].map((value) => Math.min(100, (100 * value) / 1.25)) as [number, number];
  return <b class="rung-band" data-test="band" style={{ left: `${from}%`, width: `${Math.max(0.6, to - from)}%` }} />;
}

function sayRange({ found, over, trimmed, unit: kind }: MarginRange, unit: LengthUnit): string {
  const ends = `Drawn: ${sayAmount(found[0], kind, unit)} to ${sayAmount(found[2], kind, unit)} in nine draws of ten`;
  return trimmed ? `${ends}; the operator trims it by the tip's camera.` : `${ends}; passed in ${over.count} of ${over.of}.`;
}

const faultRows = new Set(["cable-broken", "drive-stalled", "power-lost"]);

/** What was found against what is allowed; also where the two do not tell whether it holds. */
function sayNumbers(row: MarginRow, unit: LengthUnit): string {
  const { found, allowed, side } = readMargin(row);
  const asked = sayAmount(allowed, row.unit, unit);
  if (faultRows.has(row.id))
    return `target at ${sayAmount(found, row.unit, unit)}, comes out ${Number.isFinite(allowed) ? `down to ${asked}` : "from everywhere"}`;
  if (side === "at most") return Number.isNaN(found) ? `not known, of ${asked}` : `${sayAmount(found, row.unit, unit)} of ${asked}`;
  if (found === Number.POSITIVE_INFINITY) return `required ${asked}, none near`;
  return `required ${asked}, guaranteed ${found < 0 ? "none" : sayAmount(found, row.unit, unit)}`;
}

function saySpread(spread: number, row: MarginRow, unit: LengthUnit): string {
  return Number.isNaN(spread)
    ? "How well the arm is known moves it; how far was not found."
    : `\u00b1 ${sayAmount(spread, row.unit, unit)}: one standard deviation, for how well the arm's numbers are known.`;
}
