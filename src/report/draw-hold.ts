/** What the arm looks like at a hold: side and top view at one scale for all holds, the walls drawn once and used again. */
import type { ArmModel } from "../arm/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { Job } from "../job/index.ts";
import type { PlanResult } from "../plan/index.ts";
import { drawBody } from "../space/index.ts";
import { armOutlines, cutPath, drawArmPiece, guideLine } from "./draw-views.ts";
import { type Measures, niceStep } from "./measure.ts";
import { mark, type Page, picture, tag } from "./page.ts";
import { chooseViews, onPaper, type View } from "./project.ts";
import { chooseWindow, fixed, pathOf, type Window } from "./view-window.ts";

export interface Stage {
  readonly views: readonly { readonly view: View; readonly window: Window; readonly id: string }[];
  /** to stand in the document before any picture */
  readonly walls: SVGElement;
}

/** Pictures of this width, px. */
const wide = 330;

export function createStage(page: Page, job: Job, arm: ArmModel, result: PlanResult): Stage {
  const points = result.route.curve?.point ?? Float64Array.of(...job.port.centre, ...job.target.place);
  const last = result.wayIn[result.wayIn.length - 1];
  const drawn = job.bodies.map((body) => drawBody(body));
  const views = chooseViews(job.port.centre, job.conditions.gravity, job.port.axis, points).map((view) => {
    const all = [
      ...(last === undefined ? [] : armOutlines(view, arm, last).flat()),
      ...guideLine(view, job),
      ...Array.from({ length: points.length / 3 }, (_, k) => onPaper(view, points[3 * k]!, points[3 * k + 1]!, points[3 * k + 2]!)),
    ];
    return { view, window: shrink(chooseWindow(all)), id: `walls-${view.name.toLowerCase()}` };
  });
  const walls = mark(
    page,
    "svg",
    { width: 0, height: 0, "aria-hidden": "true", class: "hidden" },
    mark(page, "defs", {}, ...views.map(({ view, window, id }) => mark(page, "path", { id, d: cutPath(view, drawn, window) }))),
  );
  return { views, walls };
}

function shrink(window: Window): Window {
  return { ...window, scale: Math.min(wide / window.width, 260 / window.height) };
}

/** Side and top view of one depth. */
export function drawHold(page: Page, stage: Stage, job: Job, arm: ArmModel, record: DepthRecord, { length }: Measures): HTMLElement {
  return tag(
    page,
    "div",
    { class: "views" },
    ...stage.views.map(({ view, window, id }) => {
      const [width, height] = [fixed(window.width * window.scale), fixed(window.height * window.scale)];
      const pieces = armOutlines(view, arm, record);
      const first = Math.max(record.firstFree, 1);
      const route = mark(page, "path", { d: pathOf(guideLine(view, job), window, false), fill: "none", stroke: "#777", "stroke-width": 3 });
      const step = niceStep((0.2 * window.width) / length.size);
      const bar = fixed(step * length.size * window.scale);
      return tag(
        page,
        "figure",
        {},
        picture(
          page,
          width,
          height,
          `${view.name} view of the arm at this hold, to scale`,
          mark(page, "rect", { x: 0.5, y: 0.5, width: width - 1, height: height - 1, fill: "none", stroke: "#999" }),
          mark(page, "use", { href: `#${id}`, fill: "none", stroke: "#222", "stroke-width": 1.3 }),
          route,
          ...pieces.map((corners, k) => drawArmPiece(page, corners, k === pieces.length - 1, first + k, arm, window)),
          markTool(page, view, record, window),
          mark(page, "path", { d: `M8,${height - 9}v5m0,-2.5h${bar}m0,-2.5v5`, fill: "none", stroke: "#000", "stroke-width": 1.4 }),
          mark(page, "text", { x: 12 + bar, y: height - 4 }, `${step} ${length.name}`),
        ),
        tag(page, "figcaption", {}, view.name === "Side" ? "from the side" : "from above"),
      );
    }),
  );
}

/** A ring about the tool point: where the picture is taken from. */
function markTool(page: Page, view: View, { tool }: DepthRecord, window: Window): SVGElement {
  const [x, y] = onPaper(view, tool[0]!, tool[1]!, tool[2]!);
  return mark(page, "circle", {
    cx: fixed((x - window.left) * window.scale),
    cy: fixed((window.height - (y - window.bottom)) * window.scale),
    r: 7,
    fill: "none",
    stroke: "#000",
    "stroke-width": 1.6,
  });
}
