/**
 * Length of cable on a spool by its turns, and back. Layers lie on each other as circles: the climb from turn to turn along the
 * spool (a share of (pitch / circumference)^2 / 2, under 1e-4 for any usual spool) is left out. @see docs/sources.md#spools
 */
import type { Spool } from "../arm/index.ts";

/** A spool with a cable of known diameter on it. */
export interface Winding {
  /** of the first layer, m */
  readonly radius: number;
  /** Infinity: one layer takes all */
  readonly perLayer: number;
  /** m a layer */
  readonly rise: number;
  /** turns on it while the arm is straight and slack */
  readonly wound: number;
}

export function createWinding(spool: Spool, cableDiameter: number): Winding {
  return {
    radius: spool.radius,
    perLayer: spool.turnsPerLayer ?? Number.POSITIVE_INFINITY,
    rise: spool.layerRise ?? cableDiameter,
    wound: spool.wound ?? 0,
  };
}

/** Radius that the cable runs on to at so many turns in all, m; an empty spool's is that of its first layer. */
export function radiusAt(winding: Winding, turns: number): number {
  return winding.radius + layerOf(winding, turns) * winding.rise;
}

/** Cable on the spool, m; below 0 where more than all is paid out. */
export function lengthOfTurns(winding: Winding, turns: number): number {
  const layer = layerOf(winding, turns);
  const full = layer === 0 ? 0 : layer * winding.perLayer;
  return lengthOfLayers(winding, layer) + 2 * Math.PI * (turns - full) * radiusAt(winding, turns);
}

/** Turns in all that hold this length. */
export function turnsOfLength(winding: Winding, length: number): number {
  let layer = 0;
  while (Number.isFinite(winding.perLayer) && lengthOfLayers(winding, layer + 1) <= length) layer++;
  const full = layer === 0 ? 0 : layer * winding.perLayer;
  return full + (length - lengthOfLayers(winding, layer)) / (2 * Math.PI * (winding.radius + layer * winding.rise));
}

/** Turns since the arm was straight and slack -> what has been drawn in since then, m. */
export function drawnByTurns(winding: Winding, turns: number): number {
  return lengthOfTurns(winding, winding.wound + turns) - lengthOfTurns(winding, winding.wound);
}

export function turnsByDrawn(winding: Winding, drawn: number): number {
  return turnsOfLength(winding, lengthOfTurns(winding, winding.wound) + drawn) - winding.wound;
}

function layerOf(winding: Winding, turns: number): number {
  return Number.isFinite(winding.perLayer) ? Math.max(0, Math.floor(turns / winding.perLayer)) : 0;
}

/** All of the first so many layers. */
function lengthOfLayers({ radius, perLayer, rise }: Winding, layers: number): number {
  return layers === 0 ? 0 : 2 * Math.PI * perLayer * layers * (radius + (rise * (layers - 1)) / 2);
}
