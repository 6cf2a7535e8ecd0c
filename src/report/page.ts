/**
 * The document a report is built in. All text goes in as text nodes, so that the library escapes it; user text is never put into
 * attributes, scripts or styles.
 */
import { parseHTML } from "linkedom";

export interface Page {
  readonly document: Document;
}

export type Child = Node | string | number | undefined | false | readonly Child[];
export type Attributes = Readonly<Record<string, string | number>>;

const svgSpace = "http://www.w3.org/2000/svg";

/** @param title user text */
export function createPage(title: string, style: string): Page {
  const { document } = parseHTML('<!doctype html><html lang="en"><head><meta charset="utf-8"></head><body></body></html>');
  const page = { document };
  const meta = (attributes: Attributes): Node => tag(page, "meta", attributes);
  document.head.append(
    meta({ name: "viewport", content: "width=device-width, initial-scale=1" }),
    // nothing is fetched, nothing runs: also when somebody adds to the file
    meta({ "http-equiv": "Content-Security-Policy", content: "default-src 'none'; style-src 'unsafe-inline'; img-src data:" }),
    meta({ name: "color-scheme", content: "light" }),
    tag(page, "title", {}, escapeTitle(title)),
    tag(page, "style", {}, style),
  );
  return page;
}

/** The library writes a title's text as it is, as it does for scripts and styles; browsers resolve what is escaped here. */
function escapeTitle(text: string): string {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");
}

export function tag(page: Page, name: string, attributes: Attributes, ...children: readonly Child[]): HTMLElement {
  const element = page.document.createElement(name);
  fill(page, element, attributes, children);
  return element;
}

/** An element of a picture. */
export function mark(page: Page, name: string, attributes: Attributes, ...children: readonly Child[]): SVGElement {
  const element = page.document.createElementNS(svgSpace, name) as SVGElement;
  fill(page, element, attributes, children);
  return element;
}

/** A picture of its own: `says` tells those who cannot see it what it shows; no user text. */
export function picture(page: Page, width: number, height: number, says: string, ...children: readonly Child[]): SVGElement {
  return mark(
    page,
    "svg",
    { xmlns: svgSpace, viewBox: `0 0 ${width} ${height}`, width, height, role: "img", "aria-label": says, class: "picture" },
    ...children,
  );
}

function fill(page: Page, element: Element, attributes: Attributes, children: readonly Child[]): void {
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, String(value));
  append(page, element, children);
}

function append(page: Page, element: Element, children: readonly Child[]): void {
  for (const child of children) {
    if (child === undefined || child === false) continue;
    if (Array.isArray(child)) append(page, element, child);
    else if (typeof child === "string" || typeof child === "number") element.append(page.document.createTextNode(String(child)));
    else element.append(child as Node);
  }
}

export function writePage(page: Page): string {
  return `${page.document.toString()}\n`;
}

/** A heading and what it heads. */
export function part(page: Page, heading: string, ...children: readonly Child[]): HTMLElement {
  return tag(page, "section", {}, tag(page, "h2", {}, heading), ...children);
}

export function bullets(page: Page, items: readonly Child[]): HTMLElement {
  return tag(page, "ul", {}, ...items.map((item) => tag(page, "li", {}, item)));
}

/** Name and value, one a line. */
export function facts(page: Page, caption: string, rows: readonly (readonly [name: string, value: Child])[]): HTMLElement {
  return tag(
    page,
    "table",
    { class: "facts" },
    tag(page, "caption", {}, caption),
    tag(
      page,
      "tbody",
      {},
      ...rows.map(([name, value]) => tag(page, "tr", {}, tag(page, "th", { scope: "row" }, name), tag(page, "td", {}, value))),
    ),
  );
}

/** @param numeric columns set to the right */
export function table(
  page: Page,
  caption: string,
  heads: readonly string[],
  rows: readonly (readonly Child[])[],
  numeric: readonly number[] = [],
  kind = "grid",
): HTMLElement {
  const side = (k: number): Attributes => (numeric.includes(k) ? { class: "number" } : {});
  return tag(
    page,
    "table",
    { class: kind },
    tag(page, "caption", {}, caption),
    tag(page, "thead", {}, tag(page, "tr", {}, ...heads.map((head, k) => tag(page, "th", { scope: "col", ...side(k) }, head)))),
    tag(
      page,
      "tbody",
      {},
      ...rows.map((row) =>
        tag(
          page,
          "tr",
          {},
          ...row.map((cell, k) => (k === 0 ? tag(page, "th", { scope: "row", ...side(k) }, cell) : tag(page, "td", side(k), cell))),
        ),
      ),
    ),
  );
}

export function figure(page: Page, drawing: Child, caption: Child, ...more: readonly Child[]): HTMLElement {
  return tag(page, "figure", {}, ...more, drawing, tag(page, "figcaption", {}, caption));
}
