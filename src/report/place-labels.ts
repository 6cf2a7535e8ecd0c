/** Where words go on a drawing: each near what it names, none over another, out of the frame or, if it can be helped, over ink. */

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface Label {
  /** one line each */
  readonly lines: readonly string[];
  /** what it names, px */
  readonly anchor: readonly [number, number];
}

export interface PlacedLabel extends Label {
  readonly box: Box;
}

export const fontSize = 14;
export const lineHeight = 17;
/** Mean width of a character of a sans-serif, in its size; the wide ones are rare. */
const character = 0.52;

export function textWidth(text: string): number {
  return text.length * fontSize * character;
}

/**
 * The first labels choose first. A label that finds no free place is left out.
 *
 * @param taken boxes where no word may go
 * @param ink points that should stay uncovered, px
 */
export function placeLabels(
  labels: readonly Label[],
  frame: Box,
  taken: readonly Box[],
  ink: readonly (readonly [number, number])[],
): PlacedLabel[] {
  const placed: PlacedLabel[] = [];
  for (const label of labels) {
    const width = Math.max(...label.lines.map(textWidth)) + 8;
    const height = label.lines.length * lineHeight + 4;
    let best: { label: PlacedLabel; cost: number } | undefined;
    for (let ring = 0; ring < 16; ring++) {
      const away = 16 + 22 * ring;
      for (let k = 0; k < 24; k++) {
        const angle = (2 * Math.PI * (k + 0.5 * (ring % 2))) / 24 - Math.PI / 4;
        const [cx, cy] = [label.anchor[0] + (away + width / 2) * Math.cos(angle), label.anchor[1] + (away + height / 2) * Math.sin(angle)];
        const tried: PlacedLabel = { ...label, box: { x: cx - width / 2, y: cy - height / 2, width, height } };
        if (!holds(frame, tried.box) || taken.some((other) => meet(tried.box, other)) || placed.some((other) => collide(tried, other)))
          continue;
        const covered = ink.reduce((sum, p) => sum + (inBox(tried.box, p) ? 1 : 0), 0);
        const from = leaderStart(tried);
        const crossed = ink.reduce((sum, p) => sum + (nearLine(from, label.anchor, p) ? 1 : 0), 0);
        const cost = covered + 0.3 * crossed + 0.6 * ring;
        if (best === undefined || cost < best.cost) best = { label: tried, cost };
      }
      if (best !== undefined && best.cost <= 0.6 * (ring + 1)) break;
    }
    if (best !== undefined) placed.push(best.label);
  }
  return placed;
}

/** Words over words, a leader through words, or leaders that cross. */
function collide(a: PlacedLabel, b: PlacedLabel): boolean {
  return (
    meet(a.box, b.box) ||
    cuts(leaderStart(a), a.anchor, b.box) ||
    cuts(leaderStart(b), b.anchor, a.box) ||
    crossing(leaderStart(a), a.anchor, leaderStart(b), b.anchor)
  );
}

type Point = readonly [number, number];

/** Whether a place is hidden by a leader, its head left out. */
function nearLine(a: Point, b: Point, [x, y]: Point): boolean {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const square = dx * dx + dy * dy;
  const t = square > 0 ? ((x - a[0]) * dx + (y - a[1]) * dy) / square : 0;
  if (t < 0 || t > 1 - 12 / Math.sqrt(square + 144)) return false;
  return (x - a[0] - t * dx) ** 2 + (y - a[1] - t * dy) ** 2 < 9;
}

/** Whether a line meets a box. */
function cuts(a: Point, b: Point, box: Box): boolean {
  const corners: Point[] = [
    [box.x, box.y],
    [box.x + box.width, box.y],
    [box.x + box.width, box.y + box.height],
    [box.x, box.y + box.height],
  ];
  return inBox(box, a) || inBox(box, b) || corners.some((corner, k) => crossing(a, b, corner, corners[(k + 1) % 4] as Point));
}

function crossing(a: Point, b: Point, c: Point, d: Point): boolean {
  const turn = (p: Point, q: Point, r: Point): number => (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
  return turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
}

/** Where a leader from a label to its anchor starts: the nearest place of the label's edge, at half a line's height beside it or above or below. */
export function leaderStart({ box, anchor }: PlacedLabel): [number, number] {
  const [x, y] = anchor;
  const middle = box.y + box.height / 2;
  if (x < box.x) return [box.x, middle];
  if (x > box.x + box.width) return [box.x + box.width, middle];
  return [Math.min(Math.max(x, box.x + 6), box.x + box.width - 6), y < box.y ? box.y : box.y + box.height];
}

function holds(frame: Box, box: Box): boolean {
  return box.x >= frame.x && box.y >= frame.y && box.x + box.width <= frame.x + frame.width && box.y + box.height <= frame.y + frame.height;
}

export function meet(a: Box, b: Box): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

function inBox(box: Box, [x, y]: readonly [number, number]): boolean {
  return x > box.x && x < box.x + box.width && y > box.y && y < box.y + box.height;
}
