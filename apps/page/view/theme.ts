/** The colours of the pictures, read from the style sheet so that there is one list of them. */
import { Color } from "three";

export interface Inks {
  readonly ground: string;
  readonly wall: string;
  readonly section: string;
  readonly line: string;
  readonly text: string;
  readonly faint: string;
  readonly armA: string;
  readonly armB: string;
  readonly armPicked: string;
  readonly rod: string;
  readonly cable: string;
  readonly plan: string;
  readonly cursor: string;
  readonly aim: string;
  readonly warn: string;
  readonly over: string;
  readonly ok: string;
  readonly unknown: string;
  readonly okFill: string;
}

const names = {
  ground: "--view-ground",
  wall: "--view-wall",
  section: "--view-section",
  line: "--view-line",
  text: "--ink",
  faint: "--ink-3",
  armA: "--arm-a",
  armB: "--arm-b",
  armPicked: "--arm-picked",
  rod: "--arm-rod",
  cable: "--arm-cable",
  plan: "--plan",
  cursor: "--cursor",
  aim: "--aim",
  warn: "--warn",
  over: "--over",
  ok: "--ok",
  unknown: "--unknown",
  okFill: "--ok-fill",
} as const;

export function readInks(): Inks {
  const style = getComputedStyle(document.documentElement);
  return Object.fromEntries(Object.entries(names).map(([ink, name]) => [ink, style.getPropertyValue(name).trim()])) as unknown as Inks;
}

export function colour(ink: string): Color {
  return new Color(ink);
}
