/**
 * Every text colour of the page against every ground it stands on, light and dark: at least 4.5 to 1 (level AA).
 * Formula of relative luminance and contrast: W3C, Web Content Accessibility Guidelines 2.2, from memory.
 */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";

const sheet = readFileSync(new URL("../../apps/page/style/tokens.css", import.meta.url), "utf8");

function tokensOf(theme: "light" | "dark"): ReadonlyMap<string, string> {
  const block = new RegExp(`data-theme="${theme}"\\] \\{([^}]*)\\}`).exec(sheet)?.[1] ?? "";
  return new Map([...block.matchAll(/--([\w-]+): (#[0-9a-f]{6});/g)].map(([, name, value]) => [name as string, value as string]));
}

function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const c = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [high, low] = [luminance(a), luminance(b)].sort((x, y) => y - x) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

const pairs = [
  ...["ink", "ink-2", "ink-3", "ok", "warn", "over", "unknown", "cursor"].map((ink) => [ink, "card"] as const),
  ...["ink", "ink-2", "ink-3"].map((ink) => [ink, "ground"] as const),
  ["ink", "field"],
  ["plan", "card"],
  ["ink", "warn-soft"],
  ["ink", "over-soft"],
  ["ink-3", "over-soft"],
  ["ink", "cursor-soft"],
  ["ink-3", "cursor-soft"],
  ["ink-2", "view-ground"],
] as const;

describe.each(["light", "dark"] as const)("%s", (theme) => {
  const tokens = tokensOf(theme);
  it.each(pairs)("%s on %s", (ink, ground) => {
    expect(contrast(tokens.get(ink) ?? "#000000", tokens.get(ground) ?? "#000000")).toBeGreaterThanOrEqual(4.5);
  });
});

it("black on white is 21 to 1", () => {
  expect(contrast("#000000", "#ffffff")).toBeCloseTo(21, 6);
});
