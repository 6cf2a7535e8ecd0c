/** The 3D view in the page: hands the signals to the view, lays the labels and the scale bar over it. */
import { effect, signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Route } from "../../../src/path/index.ts";
import type { OfferedRoute } from "../../../src/plan/index.ts";
import type { JobPicture } from "../../worker/index.ts";
import { type LengthUnit, lengthIn, sayLength, sayObstacle } from "../say.ts";
import { planBy } from "../state/actions.ts";
import { rackShapes } from "../state/rack.ts";
import {
  cutOpen,
  isStale,
  lengthUnit,
  picture,
  plan,
  planning,
  pointedPlace,
  pointedRoute,
  pointedSection,
  record,
  route,
  target,
  theme,
} from "../state/store.ts";
import { createView, type View } from "./create-view.ts";
import { readInks } from "./theme.ts";

/** The one view of the page, for the tip camera beside it. */
export const view = signal<View | undefined>(undefined);

export function MainView() {
  const canvas = useRef<HTMLCanvasElement>(null);
  const host = useRef<HTMLDivElement>(null);
  const labels = useRef<Record<string, HTMLElement | null>>({});
  const [problem, setProblem] = useState<string | undefined>(undefined);
  const [scale, setScale] = useState(0);

  useEffect(() => {
    if (canvas.current === null || host.current === null) return;
    const element = host.current;
    let made: View;
    try {
      made = createView(canvas.current, readInks(), (pixels) => setScale(Number(pixels.toPrecision(3))));
    } catch {
      setProblem(
        "The 3D picture needs WebGL2, which this browser or its graphics driver does not give. Everything else on this page works without it.",
      );
      return;
    }
    view.value = made;
    const observer = new ResizeObserver(() => made.resize(element.clientWidth, element.clientHeight));
    observer.observe(element);
    made.resize(element.clientWidth, element.clientHeight);
    const stops = [
      effect(() => {
        if (picture.value !== undefined) made.setPicture(picture.value);
      }),
      effect(() => {
        const found = route.value;
        if (picture.value !== undefined) made.setCurve(found?.status === "found" ? found.curve : undefined);
      }),
      effect(() => made.setRoutes({ others: otherRoutes(), pointed: pointedRoute.value, blocked: noRoute() })),
      effect(() => made.setRecord(record.value)),
      effect(() => made.setTarget(target.value?.place)),
      effect(() => made.setCut(cutOpen.value)),
      effect(() => made.setShapes(rackShapes.value)),
      effect(() => made.lightSection(pointedSection.value)),
      effect(() => {
        void theme.value;
        made.setInks(readInks());
      }),
      effect(() => {
        const to = pointedPlace.value?.where.place;
        if (to !== undefined) made.goTo(to);
      }),
      effect(() => {
        const tight = tightest();
        const pointed = pointedPlace.value;
        const spot = pointed?.where.place ?? blocked()?.place;
        made.setMarks(tight?.place, spot);
        const job = picture.value;
        if (job === undefined) return;
        const shown = [
          { id: "pointed", place: spot },
          { id: "tight", place: tight?.place },
          { id: "port", place: job.port.centre },
          { id: "target", place: target.value?.place },
          ...routeNumbers.map((number) => ({ id: `route${number}`, place: midOf(otherRoutes().find((one) => one.number === number)) })),
        ];
        made.setLabels(
          shown.flatMap(({ id, place }) => {
            const label = labels.current[id];
            if (label === null || label === undefined) return [];
            if (place === undefined) label.hidden = true;
            return place === undefined ? [] : [{ id, element: label, place }];
          }),
        );
      }),
    ];
    return () => {
      for (const stop of stops) stop();
      observer.disconnect();
      view.value = undefined;
      made.dispose();
    };
  }, []);

  const unit = lengthUnit.value;
  const job = picture.value;
  const tight = tightest();
  const bar = niceBar(scale, unit);
  const says = {
    port: job?.port.name,
    target: target.value?.name,
    tight: tight?.says(unit) ?? "",
    pointed: pointedPlace.value?.title ?? blocked()?.says(unit, job),
  };
  const down = useRef({ x: 0, y: 0 });
  const choose = (number: number | undefined): boolean => {
    const offer = otherRoutes().find((one) => one.number === number);
    if (offer === undefined || planning.value !== undefined) return false;
    void planBy(offer);
    return true;
  };
  return (
    <section class="view" aria-label="The arm in the space">
      <div class="view-host" ref={host}>
        <canvas
          ref={canvas}
          tabIndex={0}
          aria-label="3D view. Arrow keys turn, shift and arrows shift, plus and minus come nearer and back off, 0 resets. The number of a route plans by it."
          onPointerDown={(event) => {
            down.current = { x: event.offsetX, y: event.offsetY };
          }}
          onPointerUp={(event) => {
            // turning the view is no choice
            if (Math.hypot(event.offsetX - down.current.x, event.offsetY - down.current.y) < 4)
              choose(view.value?.routeAt(event.offsetX, event.offsetY));
          }}
          onPointerMove={(event) => {
            if (event.buttons === 0 && otherRoutes().length > 0) pointedRoute.value = view.value?.routeAt(event.offsetX, event.offsetY);
          }}
          onKeyDown={(event) => {
            if (choose(/^[1-9]$/.test(event.key) ? Number(event.key) : undefined)) {
              // planned anew
            } else if (event.key === "0" || event.key === "Home") view.value?.reset();
            else if (!(view.value?.key(event.key, event.shiftKey) ?? false)) return;
            event.preventDefault();
          }}
        />
        {(["port", "target", "tight", "pointed"] as const).map((id) => (
          <span
            key={id}
            class={`view-label ${id}`}
            hidden
            ref={(element) => {
              labels.current[id] = element;
            }}
          >
            {says[id]}
          </span>
        ))}
        {routeNumbers.map((number) => (
          <span
            key={number}
            class="view-label route"
            hidden
            ref={(element) => {
              labels.current[`route${number}`] = element;
            }}
          >
            route {number}
          </span>
        ))}
        {problem === undefined ? null : <p class="view-problem">{problem}</p>}
        <div class="view-tools">
          <button type="button" onClick={() => view.value?.reset()}>
            Reset view
          </button>
          <button
            type="button"
            aria-pressed={cutOpen.value}
            onClick={() => {
              cutOpen.value = !cutOpen.value;
            }}
          >
            Cut open
          </button>
        </div>
        {bar === undefined ? null : (
          <div class="view-scale" title="Holds at the middle of the view">
            <i style={{ width: `${bar.pixels}px` }} />
            <span>{bar.says}</span>
          </div>
        )}
        <ul class="view-key quiet">
          <li>
            <i class="key-arm" />
            arm, loaded
          </li>
          <li>
            <i class="key-plan" />
            planned body
          </li>
          <li>
            <i class="key-aim" />
            aim and stand-off
          </li>
          {job?.tube === undefined ? null : (
            <li>
              <i class="key-tube" />
              guide tube
            </li>
          )}
        </ul>
      </div>
    </section>
  );
}

/** Routes that can have a label: no more are offered. */
const routeNumbers = [1, 2, 3, 4, 5, 6, 7, 8, 9] as const;

/** The route, when there is none that can be followed: what stands in the way. */
function noRoute(): Route | undefined {
  const known = route.value;
  return known === undefined || known.status === "found" ? undefined : known;
}

/** Half-way along a route. */
function midOf(offer: OfferedRoute | undefined): number[] | undefined {
  const curve = offer?.route.curve;
  if (curve === undefined) return undefined;
  const k = 3 * (curve.count >> 1);
  return [...curve.point.subarray(k, k + 3)];
}

/** The routes to choose from but the one planned by; none of the numbers before a change. */
function otherRoutes(): readonly OfferedRoute[] {
  const result = plan.value;
  if (result?.routes === undefined || isStale.value) return [];
  return result.routes.filter(({ number, measures }) => measures !== undefined && number !== (result.taken ?? 1));
}

/** The first thing that stands in the way, when there is no route: its number and what makes it. */
function blocked():
  | { readonly place: readonly number[]; readonly says: (unit: LengthUnit, job: JobPicture | undefined) => string }
  | undefined {
  const first = noRoute()?.obstacles[0];
  if (first === undefined) return undefined;
  const says = (unit: LengthUnit, job: JobPicture | undefined) => {
    const body = job?.bodies[first.body]?.name;
    const by = body === undefined ? "" : ` at ${body}`;
    if (first.kind === "narrow" || first.kind === "start")
      return `${sayLength(2 * Math.max(0, first.is), unit)} wide${by}, needed ${sayLength(2 * first.needed, unit)}`;
    if (first.kind === "bend" && first.is > 0)
      return `bends to ${sayLength(first.is, unit, 0)}${by}, the arm to ${sayLength(first.needed, unit, 0)}`;
    if (first.kind === "length") return `${sayLength(first.is, unit, 0)} long, the arm puts out ${sayLength(first.needed, unit, 0)}`;
    return `${sayObstacle(first.kind)}${by}`;
  };
  return { place: first.place, says };
}

/**
 * The vertebra with the least clearance at the shown depth to what must be kept clear of, as the ribbon and the ladder count it;
 * where nothing of the kind is near, to what may be touched.
 */
function tightest(): { readonly place: readonly number[]; readonly says: (unit: LengthUnit) => string } | undefined {
  const here = record.value;
  const job = picture.value;
  if (here === undefined || job === undefined || here.frames.length !== 12 * (job.arm.spans + 1)) return undefined;
  const placeOf = (vertebra: number) => [...here.frames.subarray(12 * vertebra + 9, 12 * vertebra + 12)];
  const asking = job.bodies[here.askedBody]?.name;
  if (asking !== undefined) {
    const says = (unit: LengthUnit) => {
      if (here.asked >= 0) return `clearance here: ${sayLength(here.asked, unit)} to ${asking}`;
      if (here.askedSeen >= 0) return `${sayLength(here.askedSeen, unit)} from ${asking}, not guaranteed on the way`;
      return `into ${asking} by ${sayLength(-here.askedSeen, unit)}`;
    };
    return { place: placeOf(here.askedVertebra), says };
  }
  const nearest = job.bodies[here.nearest[here.tightest] as number]?.name;
  const clearance = here.leastClearance;
  if (nearest === undefined || !Number.isFinite(clearance)) return undefined;
  const says = (unit: LengthUnit) => `${sayLength(clearance, unit)} to ${nearest}, which may be touched`;
  return { place: placeOf(here.tightest), says };
}

/** A bar of a round length, 60 to 150 pixels long. */
function niceBar(pixelsPerMetre: number, unit: LengthUnit): { readonly pixels: number; readonly says: string } | undefined {
  if (pixelsPerMetre <= 0) return undefined;
  const perUnit = pixelsPerMetre / lengthIn(1, unit);
  for (let power = -3; power < 6; power++) {
    for (const lead of [1, 2, 5]) {
      const length = lead * 10 ** power;
      if (length * perUnit >= 60) return { pixels: length * perUnit, says: `${Number(length.toPrecision(2))} ${unit}` };
    }
  }
  return undefined;
}
