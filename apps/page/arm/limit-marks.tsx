/** One shape for each limit that can be met first: the same in the keys, the rose of loads and the charts. */
import type { PayloadEnd } from "../../../src/capacity/index.ts";
import { endWords } from "./say-maps.ts";

type Shape = readonly (readonly [number, number])[] | "round";

const shapes: Readonly<Record<PayloadEnd, { readonly shape: Shape; readonly hollow: boolean }>> = {
  cable: { shape: "round", hollow: false },
  stop: { shape: polygon(4, Math.PI / 4), hollow: false },
  strain: { shape: polygon(3, -Math.PI / 2), hollow: false },
  sag: { shape: polygon(4, 0), hollow: false },
  unstable: { shape: star(), hollow: false },
  unconverged: { shape: "round", hollow: true },
  most: { shape: polygon(3, -Math.PI / 2), hollow: true },
  "not-locked": { shape: polygon(4, Math.PI / 4), hollow: true },
};

export const isFound = (end: PayloadEnd): boolean => !shapes[end].hollow;

/** On a canvas, round a place in its own pixels. */
export function drawMark(ctx: CanvasRenderingContext2D, end: PayloadEnd, x: number, y: number, size: number): void {
  const { shape, hollow } = shapes[end];
  ctx.beginPath();
  if (shape === "round") ctx.arc(x, y, 0.8 * size, 0, 2 * Math.PI);
  else {
    shape.forEach(([u, v], k) => {
      if (k === 0) ctx.moveTo(x + size * u, y + size * v);
      else ctx.lineTo(x + size * u, y + size * v);
    });
    ctx.closePath();
  }
  if (hollow) ctx.stroke();
  else ctx.fill();
}

export function LimitMark({
  end,
  x = 0,
  y = 0,
  size = 4.5,
}: {
  readonly end: PayloadEnd;
  readonly x?: number;
  readonly y?: number;
  readonly size?: number;
}) {
  const { shape, hollow } = shapes[end];
  const look = hollow ? "limit-mark hollow" : "limit-mark";
  if (shape === "round") return <circle class={look} cx={x} cy={y} r={0.8 * size} />;
  return <polygon class={look} points={shape.map(([u, v]) => `${(x + size * u).toFixed(2)},${(y + size * v).toFixed(2)}`).join(" ")} />;
}

/** The shapes of those limits that are met, with their names. */
export function LimitKey({ ends }: { readonly ends: readonly PayloadEnd[] }) {
  const met = (Object.keys(shapes) as PayloadEnd[]).filter((end) => ends.includes(end));
  return (
    <ul class="limit-key" aria-label="The limit met first" data-test="limits">
      {met.map((end) => (
        <li key={end}>
          <svg width="12" height="12" viewBox="-6 -6 12 12" aria-hidden="true">
            <LimitMark end={end} />
          </svg>{" "}
          {endWords[end]}
        </li>
      ))}
    </ul>
  );
}

function polygon(corners: number, from: number): (readonly [number, number])[] {
  return Array.from({ length: corners }, (_, k) => {
    const angle = from + (2 * Math.PI * k) / corners;
    return [Math.cos(angle), Math.sin(angle)] as const;
  });
}

/** A cross with thick arms. */
function star(): (readonly [number, number])[] {
  return Array.from({ length: 8 }, (_, k) => {
    const angle = Math.PI / 4 + (Math.PI * k) / 4;
    const reach = k % 2 === 0 ? 1.15 : 0.4;
    return [reach * Math.cos(angle), reach * Math.sin(angle)] as const;
  });
}
