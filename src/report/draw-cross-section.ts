/** The arm's cross-section to scale: rim, channel, rods, cable holes. */
import type { ArmModel, Section } from "../arm/index.ts";
import { type Measures, niceStep, say } from "./measure.ts";
import { figure, mark, type Page, picture, tag } from "./page.ts";

const width = 330;
const height = 300;
const centre = [165, 138] as const;
/** px from the centre to the rim */
const rim = 92;

/** The first and the last section, and every other one that is made differently from the first. */
export function crossSectionFigures(page: Page, arm: ArmModel, measures: Measures): HTMLElement {
  const { sections } = arm.description;
  const chosen = sections.flatMap((section, k) => (k === 0 || k === sections.length - 1 || !isAlike(section, sections[0]!) ? [k] : []));
  return tag(page, "div", { class: "pair" }, ...chosen.map((k) => crossSection(page, arm, k, measures)));
}

function isAlike(a: Section, b: Section): boolean {
  const shape = (s: Section): unknown => [
    s.outerDiameter,
    s.channelDiameter,
    s.holeDiameter,
    s.alternating,
    s.rods.map((rod) => [rod.x, rod.y, rod.diameter]),
  ];
  return JSON.stringify(shape(a)) === JSON.stringify(shape(b));
}

function crossSection(page: Page, arm: ArmModel, index: number, measures: Measures): HTMLElement {
  const section = arm.description.sections[index]!;
  const scale = rim / (section.outerDiameter / 2);
  const { length } = measures;
  const drawing = picture(
    page,
    width,
    height,
    `Cross-section of section ${index + 1} of the arm, to scale`,
    circle(page, 0, 0, section.outerDiameter / 2, scale, { fill: "#e4e9ec", stroke: "#222", "stroke-width": 1.4 }),
    circle(page, 0, 0, section.channelDiameter / 2, scale, { fill: "#fff", stroke: "#222", "stroke-width": 1.2 }),
    ...(section.alternating
      ? section.rods.map((rod) =>
          circle(page, -rod.y, rod.x, rod.diameter / 2, scale, { fill: "none", stroke: "#222", "stroke-dasharray": "3 2" }),
        )
      : []),
    ...section.rods.map((rod) => circle(page, rod.x, rod.y, rod.diameter / 2, scale, { fill: "#222", stroke: "#222" })),
    ...holes(page, arm, index, scale),
    ...arrows(page),
    bar(page, scale, length.size, length.name),
  );
  const through = arm.cables - arm.firstCable[index + 1]!;
  const hoses = section.hoses.length === 0 ? "" : " Hoses and leads are not drawn: their places are not given.";
  return figure(
    page,
    drawing,
    `Section ${index + 1}, seen from the base, to scale: rim ${say(section.outerDiameter, length)}, channel ${say(section.channelDiameter, length)}, ` +
      `holes ${say(section.holeDiameter, length)} on a circle of radius ${say(section.cableRadius, length)}. Filled holes: the section's own ${section.cableAngles.length} cables` +
      `${through > 0 ? `; open holes: ${through} cables of the sections beyond` : ""}. Black: rods${section.alternating ? "; broken: the rods of every second vertebra, turned by 90\u00a0deg" : ""}.${hoses}`,
  );
}

/** The arm's own axes seen from the base: x to the right, y down, z away from the reader. */
function toPixels(x: number, y: number, scale: number): [number, number] {
  return [centre[0] + x * scale, centre[1] + y * scale];
}

function circle(
  page: Page,
  x: number,
  y: number,
  radius: number,
  scale: number,
  look: Readonly<Record<string, string | number>>,
): SVGElement {
  const [cx, cy] = toPixels(x, y, scale);
  return mark(page, "circle", { cx: fixed(cx), cy: fixed(cy), r: fixed(radius * scale), ...look });
}

function holes(page: Page, arm: ArmModel, index: number, scale: number): SVGElement[] {
  const section = arm.description.sections[index]!;
  const out: SVGElement[] = [];
  for (let c = arm.firstCable[index]!; c < arm.cables; c++) {
    const [x, y] = [arm.cableX[c]!, arm.cableY[c]!];
    const own = arm.sectionOfCable[c] === index;
    out.push(
      circle(page, x, y, section.holeDiameter / 2, scale, {
        fill: own ? "#d55e00" : "#fff",
        stroke: own ? "#7a3500" : "#222",
        "stroke-width": 1.1,
      }),
    );
    const distance = Math.sqrt(x * x + y * y);
    const [tx, ty] = toPixels((x / distance) * ((rim + 11) / scale), (y / distance) * ((rim + 11) / scale), scale);
    out.push(
      mark(
        page,
        "text",
        { x: fixed(tx), y: fixed(ty + 3.2), "text-anchor": "middle", class: "small", ...(own ? { "font-weight": 700 } : {}) },
        String(c + 1),
      ),
    );
  }
  return out;
}

function arrows(page: Page): SVGElement[] {
  const [x, y] = [centre[0] - rim - 40, centre[1] + rim + 26];
  const line = { stroke: "#000", "stroke-width": 1, fill: "none" };
  return [
    mark(page, "path", { d: `M${x},${y}h26m-5,-3l5,3l-5,3`, ...line }),
    mark(page, "path", { d: `M${x},${y}v26m-3,-5l3,5l3,-5`, ...line }),
    mark(page, "text", { x: x + 31, y: y + 3.5 }, "x"),
    mark(page, "text", { x: x + 6, y: y + 30 }, "y"),
  ];
}

function bar(page: Page, scale: number, size: number, name: string): SVGElement {
  const value = niceStep(40 / scale / size);
  const long = value * size * scale;
  const [x, y] = [width - 12 - long, height - 14];
  return mark(
    page,
    "g",
    { class: "scale" },
    mark(page, "path", { d: `M${fixed(x)},${y - 4}v8m0,-4h${fixed(long)}m0,-4v8`, stroke: "#000", "stroke-width": 1.6, fill: "none" }),
    mark(page, "text", { x: fixed(x + long / 2), y: y - 8, "text-anchor": "middle" }, `${value} ${name}`),
  );
}

function fixed(value: number): number {
  return Math.round(value * 100) / 100 + 0;
}
