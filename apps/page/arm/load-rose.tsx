/**
 * Payload in every direction across the arm, seen from the base: the further out, the larger the load. The arm's own axes and its cables'
 * holes lie under it, so that a weak direction is seen against the cables that carry it.
 */
import type { MapFrame, PayloadPoint } from "../../worker/index.ts";
import { niceStep } from "../nice-step.ts";
import { sayForce } from "../say.ts";
import { picture } from "../state/store.ts";
import { LimitMark } from "./limit-marks.tsx";
import { useSize } from "./use-size.ts";

/** px round the rim, for the names of the directions */
const room = 17;

interface Props {
  readonly frame: MapFrame;
  /** across the arm alone, by angle */
  readonly points: readonly PayloadPoint[];
  readonly before: readonly PayloadPoint[];
  readonly pointed: number | undefined;
  readonly point: (index: number) => void;
}

export function LoadRose({ frame, points, before, pointed, point }: Props) {
  const { host, width, height } = useSize<HTMLDivElement>();
  const rim = Math.max(30, Math.min(width / 2 - 2 * room, height / 2 - room));
  const most = [...points, ...before].reduce((top, one) => Math.max(top, one.load), 0) || 1;
  const step = niceStep(most / 3);
  const rings = Array.from({ length: Math.floor(most / step + 1e-9) }, (_, k) => (k + 1) * step);
  const scale = rim / most;
  // down is down on the page, left is left
  const place = (angle: number, r: number): readonly [number, number] => [-r * Math.sin(angle), r * Math.cos(angle)];
  const line = (list: readonly PayloadPoint[]) =>
    list
      .map((one) =>
        place(one.at, scale * one.load)
          .map((value) => value.toFixed(1))
          .join(","),
      )
      .join(" ");
  const names = frame.names.map((name, k) => ({ name, at: place((k * Math.PI) / 2, rim + 10) }));
  const arm = picture.value?.arm;
  const widest = arm === undefined ? 1 : Math.max(...arm.cables.map((cable) => Math.hypot(cable.x, cable.y)));
  return (
    <div class="load-host" ref={host}>
      <svg class="load-rose" width={width} height={height} viewBox={`${-width / 2} ${-height / 2} ${width} ${height}`} aria-hidden="true">
        {rings.map((ring) => (
          <g key={ring}>
            <circle class="load-ring" r={scale * ring} />
            <text class="load-ring-name" x={3} y={-scale * ring - 2}>
              {sayForce(ring)}
            </text>
          </g>
        ))}
        {arm?.cables.map((cable, c) => {
          // the hole's angle from the arm's x, turned on by where that x lies; seen from the base both turn the same way
          const angle = frame.turn + Math.atan2(cable.y, cable.x);
          const [x, y] = place(angle, 0.22 * rim * (Math.hypot(cable.x, cable.y) / widest));
          return <circle key={c} class="load-hole" cx={x} cy={y} r={1.5} />;
        })}
        {names.map(({ name, at: [x, y] }) => (
          <text key={name} class="load-name" x={x} y={y + 4} text-anchor={Math.abs(x) < 1 ? "middle" : x < 0 ? "end" : "start"}>
            {name}
          </text>
        ))}
        {before.length < 3 ? null : <polygon class="load-before" points={line(before)} />}
        {points.length < 3 ? null : <polygon class="load-line" points={line(points)} />}
        {points.map((one, k) => {
          const [x, y] = place(one.at, scale * one.load);
          return (
            <g key={one.at} class={k === pointed ? "load-point pointed" : "load-point"} onPointerEnter={() => point(k)}>
              {k === pointed ? <path d={`M0,0L${x},${y}`} /> : null}
              <circle class="load-reach" cx={x} cy={y} r={11} />
              <LimitMark end={one.end} x={x} y={y} />
            </g>
          );
        })}
      </svg>
    </div>
  );
}
