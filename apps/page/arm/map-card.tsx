/** One map with its title, its state, its chart, and the pointed place in words; gone through by pointer or arrow keys. */
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import type { LimitPlace } from "../../worker/index.ts";
import type { ShownMap } from "../state/arm-room.ts";
import { pointedLimit, question } from "../state/arm-room.ts";

interface Props {
  readonly id: string;
  readonly title: string;
  readonly note: string;
  readonly map: ShownMap | undefined;
  /** each place in words, in the order they are gone through */
  readonly says: readonly string[];
  /** where in the arm each place's limit is met, to be shown on the drawing */
  readonly limits?: readonly (LimitPlace | undefined)[];
  /** where one stands before any key or pointer came */
  readonly start: number;
  /** where several maps of the same places stand together: the place, and what hears of another */
  readonly together?: { readonly at: number | undefined; readonly go: (index: number) => void };
  readonly children: (pointed: number | undefined, point: (index: number) => void) => ComponentChildren;
}

export function MapCard({ id, title, note, map, says, limits, start, together, children }: Props) {
  const [chosen, setChosen] = useState<number | undefined>(undefined);
  const choose = (index: number) => {
    setChosen(index);
    together?.go(index);
    const place = limits?.[index];
    pointedLimit.value = place === undefined || map === undefined ? undefined : { of: map.of, place };
  };
  const count = says.length;
  const pointed = count === 0 ? undefined : Math.min(count - 1, Math.max(0, (together === undefined ? chosen : together.at) ?? start));
  const old = map !== undefined && map.of !== question.value;
  const onKey = (event: KeyboardEvent) => {
    const by = { ArrowLeft: -1, ArrowRight: 1, Home: -Infinity, End: Infinity }[event.key];
    if (by === undefined || pointed === undefined) return;
    event.preventDefault();
    choose(Math.min(count - 1, Math.max(0, pointed + by)));
  };
  return (
    <section class={old ? "map old" : "map"} aria-label={title} data-test={`map-${id}`} data-state={stateOf(map, old)}>
      <header class="map-head">
        <h3>{title}</h3>
        <span class="map-note">{note}</span>
      </header>
      <div
        class="map-body"
        role="slider"
        tabIndex={0}
        aria-label={`${title}, point by point`}
        aria-valuemin={0}
        aria-valuemax={Math.max(0, count - 1)}
        aria-valuenow={pointed ?? 0}
        aria-valuetext={pointed === undefined ? "nothing yet" : says[pointed]}
        onKeyDown={onKey}
      >
        {count === 0 ? (
          <p class="quiet map-wait">{map?.problem ?? (map?.done === true ? "No point of it could be found." : "Being drawn …")}</p>
        ) : (
          children(pointed, choose)
        )}
      </div>
      <p class="readout" data-test={`reading-${id}`}>
        {old ? <b class="old-numbers">Of the old numbers. </b> : null}
        {pointed === undefined ? "" : says[pointed]}
      </p>
    </section>
  );
}

function stateOf(map: ShownMap | undefined, old: boolean): string {
  if (map === undefined) return "none";
  return old ? "old" : map.done ? "done" : "drawing";
}
