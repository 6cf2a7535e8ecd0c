/** The depth ribbon: lanes over the depth of feed under one cursor; way in above, way out below in every lane. */
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { lengthIn, sayDepth } from "../say.ts";
import { setDepth, setWay, stepDepth } from "../state/cursor.ts";
import { depth, lengthUnit, picture, plan, record, recordIndex, records, recordsIn, recordsOut, theme, way } from "../state/store.ts";
import { readInks } from "../view/theme.ts";
import { DepthAxis } from "./depth-axis.tsx";
import { FaultLaneRow } from "./fault-lane.tsx";
import { axisWidth, createLanePlot, type LanePlot } from "./lane-plot.ts";
import { LaneReading } from "./lane-reading.tsx";
import { type Lane, listLanes } from "./lanes.ts";
import { PlayButton } from "./play-button.tsx";
import { VisitPicker } from "./visit-picker.tsx";

/** Empty room right of the plotted area, px; the same in every lane. */
const rightRoom = 8;

export function DepthRibbon() {
  const job = picture.value;
  const unit = lengthUnit.value;
  const body = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const element = body.current;
    if (element === null) return;
    const measure = () => setWidth(element.querySelector(".lane-plot")?.clientWidth ?? 0);
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    measure();
    return () => observer.disconnect();
  }, [job]);
  if (job === undefined) return null;

  const lanes = listLanes(job, unit);
  const all = [...recordsIn.value, ...recordsOut.value];
  const end = all.reduce((most, one) => Math.max(most, one.depth), 0) || job.arm.length;
  const span = [0, lengthIn(end, unit)] as const;
  const plotted = Math.max(1, width - axisWidth - rightRoom);
  const at = axisWidth + (plotted * lengthIn(record.value?.depth ?? depth.value, unit)) / span[1];

  const drag = (event: PointerEvent) => {
    const target = event.currentTarget as HTMLElement;
    if (event.type === "pointerdown") {
      if (event.button !== 0) return;
      target.setPointerCapture(event.pointerId);
      const lane = document.elementsFromPoint(event.clientX, event.clientY).find((e) => e.classList.contains("lane-plot")) as
        | HTMLElement
        | undefined;
      const box = lane?.getBoundingClientRect();
      const half = box !== undefined && event.clientY > (box.top + box.bottom) / 2 ? "out" : "in";
      if ((half === "in" ? recordsIn : recordsOut).value.length > 0) setWay(half);
    } else if (!target.hasPointerCapture(event.pointerId)) {
      return;
    }
    const box = target.getBoundingClientRect();
    setDepth(((event.clientX - box.left - axisWidth) / plotted) * end);
  };

  return (
    <section class="ribbon" aria-label="Depth ribbon">
      <header class="ribbon-head">
        <h2>Depth ribbon</h2>
        <VisitPicker />
        <fieldset class="segmented" aria-label="Way">
          <button type="button" aria-pressed={way.value === "in"} onClick={() => setWay("in")}>
            Way in
          </button>
          <button type="button" aria-pressed={way.value === "out"} disabled={recordsOut.value.length === 0} onClick={() => setWay("out")}>
            Way out
          </button>
        </fieldset>
        <span class="steps">
          <button type="button" class="plain" aria-label="One step towards the port" onClick={() => stepDepth(-1)}>
            ‹
          </button>
          <output class="depth-now" data-test="depth">
            {sayDepth(record.value?.depth ?? depth.value, unit)}
          </output>
          <button type="button" class="plain" aria-label="One step further in" onClick={() => stepDepth(1)}>
            ›
          </button>
        </span>
        <PlayButton />
        <span class="quiet step-now" data-test="step">
          {records.value.length > 0
            ? `solved depth ${recordIndex.value + 1} of ${records.value.length}`
            : plan.value === undefined
              ? "no depth solved yet"
              : "no depth could be solved"}
        </span>
        {record.value?.settled === false ? (
          <span
            class="unsettled"
            data-test="unsettled"
            title="Laying the arm on the route ran out of tries here; a better shape may exist."
          >
            ? not come to rest
          </span>
        ) : null}
      </header>
      <div class="ribbon-body" ref={body}>
        {lanes.map((lane) => (
          <LaneRow key={lane.id} lane={lane} width={width} span={span} />
        ))}
        <FaultLaneRow left={axisWidth} width={plotted} end={end} />
        <DepthAxis span={span} unit={unit} left={axisWidth} width={plotted} />
        <div
          class="ribbon-cursor"
          role="slider"
          tabIndex={0}
          aria-label={`Depth of feed, way ${way.value}`}
          aria-valuemin={0}
          aria-valuemax={Math.round(lengthIn(end, unit))}
          aria-valuenow={Math.round(lengthIn(record.value?.depth ?? depth.value, unit))}
          aria-valuetext={`${sayDepth(record.value?.depth ?? depth.value, unit)}, way ${way.value}`}
          onPointerDown={drag}
          onPointerMove={drag}
          onKeyDown={onKey}
        >
          <span class={`cursor-line ${way.value}`} style={{ left: `${at}px` }} />
        </div>
      </div>
    </section>
  );
}

function LaneRow({ lane, width, span }: { lane: Lane; width: number; span: readonly [number, number] }) {
  const host = useRef<HTMLDivElement>(null);
  const unit = lengthUnit.value;
  const inward = recordsIn.value;
  const outward = recordsOut.value;
  const look = theme.value;
  const [height, setHeight] = useState(0);
  useLayoutEffect(() => {
    const element = host.current;
    if (element === null) return;
    const observer = new ResizeObserver(() => setHeight(element.clientHeight));
    observer.observe(element);
    setHeight(element.clientHeight);
    return () => observer.disconnect();
  }, []);
  useEffect(() => {
    if (host.current === null || width < 60 || height < 10) return;
    void look;
    const plot: LanePlot = createLanePlot(
      host.current,
      lane,
      { wayIn: inward, wayOut: outward, span, depthOf: (r) => lengthIn(r.depth, unit) },
      readInks(),
      width,
      height,
    );
    return () => plot.dispose();
  }, [lane.id, inward, outward, unit, look, width, height, span[1], lane.limit?.at]);
  return (
    <div class="lane" style={{ flexGrow: lane.tall }}>
      <div class="lane-title">
        <b>{lane.title}</b> <span class="quiet">{lane.unit}</span>
        {lane.lines.length < 2 ? null : (
          <span class="lane-limit quiet">
            {lane.lines.map((line, k) => (
              <span key={line.short} title={line.says}>
                {k === 0 ? <i class="key-solid" /> : <i class="key-dash" />}
                {line.short}
              </span>
            ))}
          </span>
        )}
        {lane.limit === undefined ? null : (
          <span class="lane-limit quiet">
            <i class="key-limit" />
            {lane.limit.says} {lane.limit.at.toFixed(lane.digits)} {lane.unit}
          </span>
        )}
      </div>
      <div class="lane-plot" ref={host} />
      <LaneReading lane={lane} />
    </div>
  );
}

function onKey(event: KeyboardEvent): void {
  const big = event.shiftKey ? 10 : 1;
  const steps: Record<string, number> = { ArrowLeft: -big, ArrowRight: big, PageDown: -10, PageUp: 10, Home: -Infinity, End: Infinity };
  const step = steps[event.key];
  if (step !== undefined) stepDepth(step);
  else if (event.key === "ArrowUp" && recordsIn.value.length > 0) setWay("in");
  else if (event.key === "ArrowDown" && recordsOut.value.length > 0) setWay("out");
  else return;
  event.preventDefault();
}
