/** The ways round there are to choose from: what each leaves to spare, and the plan by it. */
import type { OfferedRoute } from "../../../src/plan/index.ts";
import { sayLength } from "../say.ts";
import { planBy, seekRoutes } from "../state/actions.ts";
import { goToPlace } from "../state/cursor.ts";
import { isStale, lengthUnit, picture, plan, planning, pointedRoute } from "../state/store.ts";

export function RoutesOffered() {
  const result = plan.value;
  if (result === undefined || (result.route.status !== "found" && result.routes === undefined)) return null;
  const { routes } = result;
  const busy = isStale.value || planning.value !== undefined;
  const found = routes?.filter(({ measures }) => measures !== undefined) ?? [];
  return (
    <section aria-label="Routes">
      <header class="panel-head">
        <h2>Routes</h2>
      </header>
      {routes === undefined ? (
        <p class="quiet">
          Round the other side of what stands on the way, through or beside it: what there is besides the route shown.{" "}
          <button type="button" class="link" data-test="seek-routes" disabled={busy} onClick={() => void seekRoutes()}>
            Look for other routes
          </button>
        </p>
      ) : (
        <ol class="plain-list routes" data-test="routes">
          {found.map((offer) => (
            <RouteLine key={offer.number} offer={offer} taken={offer.number === (result.taken ?? 1)} busy={busy} />
          ))}
          {found.length < 2 ? <li class="quiet">No other way round was found.</li> : null}
        </ol>
      )}
    </section>
  );
}

function RouteLine({ offer, taken, busy }: { readonly offer: OfferedRoute; readonly taken: boolean; readonly busy: boolean }) {
  const unit = lengthUnit.value;
  const bodies = picture.value?.bodies;
  const { number, measures, came } = offer;
  if (measures === undefined) return null;
  const { length, clearance, clearanceAt, clearanceBody, bend, bendAt, passage } = measures;
  const point = (to: number | undefined) => () => {
    pointedRoute.value = to;
  };
  return (
    <li
      class={taken ? "route taken" : "route"}
      data-pointed={pointedRoute.value === number}
      onMouseEnter={point(number)}
      onMouseLeave={point(undefined)}
    >
      <button
        type="button"
        class="route-pick"
        data-test={`route-${number}`}
        aria-pressed={taken}
        disabled={busy || taken}
        onFocus={point(number)}
        onBlur={point(undefined)}
        onClick={() => void planBy(offer)}
      >
        <b>{number}</b> {taken ? "planned by this one" : "Plan by this one"}
      </button>
      <span>
        {sayLength(length, unit)} long,{" "}
        <button type="button" class="link" onClick={() => goToPlace(`route ${number}: least room`, clearanceAt)}>
          {sayLength(clearance, unit)} beside the body
        </button>{" "}
        at {bodies?.[clearanceBody]?.name ?? "nothing near"},{" "}
        {Number.isFinite(bend) ? (
          <button type="button" class="link" onClick={() => goToPlace(`route ${number}: sharpest bend`, bendAt)}>
            bends to {sayLength(bend, unit, 0)}
          </button>
        ) : (
          "straight"
        )}
        ,{" "}
        <button type="button" class="link" onClick={() => goToPlace(`route ${number}: narrowest passage`, passage.place)}>
          passage {sayLength(2 * passage.free, unit)} wide
        </button>
        {came === undefined || came === "" ? null : <span class="quiet"> The arm could not follow it: {came}.</span>}
      </span>
    </li>
  );
}
