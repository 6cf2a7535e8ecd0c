/** How sure the plan's margins are: what drawn truths say of them, on request. */
import type { Chance } from "../../../src/study/index.ts";
import { drawn, draws, drawsMade, drawsProblem, drawTruths, stopDraws } from "../state/draws.ts";
import { isStale, plan, planning } from "../state/store.ts";

export function DrawsMade() {
  const result = plan.value;
  // without a way in and out there are no commands to drive
  if (result === undefined || result.wayOut.length === 0 || result.wayOut.length < result.wayIn.length) return null;
  const made = drawsMade.value;
  const found = drawn.value;
  return (
    <section aria-label="How sure">
      <header class="panel-head">
        <h2>How sure</h2>
        {made === undefined ? null : (
          <button type="button" onClick={stopDraws}>
            Stop
          </button>
        )}
      </header>
      {drawsProblem.value === undefined ? null : <p class="over">{drawsProblem.value}</p>}
      {made !== undefined ? (
        <p class="quiet">
          {made} of {draws.count} drawn.
        </p>
      ) : found === undefined ? (
        <p class="quiet">
          Numbers with a range or a spread, fitted ones, friction and the port's place are drawn at random; each drawn arm is driven by this
          plan's commands.{" "}
          <button type="button" class="link" disabled={isStale.value || planning.value !== undefined} onClick={() => void drawTruths()}>
            Draw {draws.count} truths
          </button>
        </p>
      ) : (
        <div data-test="draws">
          <p>
            Trouble in {sayChance(found.trouble)}
            {found.troubleAtMost.count > found.trouble.count
              ? `; ${sayChance(found.troubleAtMost)} with all that is not known counted as trouble`
              : ""}
            .{" "}
            <span class="quiet">
              {found.draws} draws of {found.unknowns.length} numbers, seed {found.seed}. The dark line in a bar goes from 5 to 95 % of them.
            </span>
          </p>
          {found.matters.length === 0 ? null : (
            <p>
              What matters most:{" "}
              {found.matters
                .slice(0, 4)
                .map(({ name, share }) => `${name} ${percent(share)}`)
                .join(", ")}
              .
            </p>
          )}
          {found.notKnown.slice(0, 3).map(({ says, count }) => (
            <p class="quiet" key={says}>
              {count} not known: {says}
            </p>
          ))}
        </div>
      )}
    </section>
  );
}

function sayChance({ count, of, low, high }: Chance): string {
  return `${percent(count / Math.max(1, of))} of the draws (${percent(low)} to ${percent(high)} at 95 %)`;
}

function percent(share: number): string {
  const value = 100 * share;
  return `${value > 0 && value < 10 ? value.toFixed(1) : Math.round(value)} %`;
}
