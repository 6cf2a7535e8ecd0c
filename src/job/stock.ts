/**
 * What the project knows by name: rod materials and cable stock. A file may name one of these or give its own numbers.
 *
 * @see docs/sources.md#materials and docs/sources.md#cables for where each number is from
 */
import type { CableStock, RodMaterial } from "../arm/index.ts";

/** Superelastic; allowed: two thirds of the 6 % a tensile test of such wire loads to (ASTM F2516); fatigue: Pelton et al. 2008. */
const nitinol: RodMaterial = {
  name: "nitinol",
  youngModulus: 60e9,
  poissonRatio: 0.33,
  density: 6450,
  allowedStrain: 0.04,
  fatigueStrain: 0.004,
  expansion: 11e-6,
  // upper plateau of 400 to 600 MPa at room temperature, on 60 GPa
  linearStrain: 0.0083,
  plateauRise: 6.5e6,
};

export const rodMaterials: readonly RodMaterial[] = [
  nitinol,
  // the same, its stress followed along the plateau: loading only
  { ...nitinol, name: "nitinol with plateau", plateauModulus: 1e9 },
  // music wire, ASTM A228, 1 mm: 2150 MPa; 3/4 of it allowed, 1/4 as amplitude
  {
    name: "spring steel",
    youngModulus: 207e9,
    poissonRatio: 0.305,
    density: 7850,
    allowedStrain: 0.0078,
    fatigueStrain: 0.0026,
    expansion: 11.7e-6,
  },
  // spring temper 302, 1 mm: about 1850 MPa; 0.65 of it allowed, 1/5 as amplitude
  {
    name: "stainless",
    youngModulus: 193e9,
    poissonRatio: 0.29,
    density: 7900,
    allowedStrain: 0.0062,
    fatigueStrain: 0.0019,
    expansion: 17.2e-6,
  },
];

/** Modulus on the full circle from the stretch formula of stainless strand: stretch in percent = factor * load (lbf) / diameter^2 (in). */
function strandModulus(stretchFactor: number): number {
  const psi = 4.4482216152605 / 0.0254 ** 2;
  return (400 / (Math.PI * stretchFactor)) * psi;
}

interface Construction {
  readonly name: string;
  readonly modulus: number;
  /** metal in the full circle, from wires of equal size, 3 % longer than the strand for their lay */
  readonly fill: number;
}

const constructions = {
  "1x19": { name: "1x19", modulus: strandModulus(7.79e-6), fill: (1.03 * 19) / 25 },
  "7x7": { name: "7x7", modulus: strandModulus(1.2e-5), fill: (1.03 * 49) / 81 },
  "7x19": { name: "7x19", modulus: strandModulus(1.62e-5), fill: (1.03 * 133) / 225 },
} as const satisfies Record<string, Construction>;

const stainlessDensity = 7900;
const stainlessExpansion = 17.2e-6;
const pound = 4.4482216152605;

function strand(construction: keyof typeof constructions, size: string, diameter: number, breakingLoad: number): CableStock {
  const { modulus, fill } = constructions[construction];
  const massPerLength = (fill * stainlessDensity * Math.PI * diameter ** 2) / 4;
  return {
    name: `stainless ${construction} ${size}`,
    diameter,
    effectiveModulus: modulus,
    breakingLoad,
    massPerLength,
    expansion: stainlessExpansion,
  };
}

export const cableStocks: readonly CableStock[] = [
  // metric 1.4401, 1570 N/mm2: from memory; 0.6 mm scaled from 1.0 mm by its area
  strand("7x7", "0.5 mm", 0.5e-3, 140),
  strand("7x7", "0.6 mm", 0.6e-3, 570 * 0.36),
  strand("7x7", "1.0 mm", 1.0e-3, 570),
  strand("7x7", "1.5 mm", 1.5e-3, 1280),
  // inch sizes in corrosion-resisting steel: FAA AC 43.13-1B, table 7-3
  strand("7x7", "3/64 in", 0.0254 * (3 / 64), 270 * pound),
  strand("7x7", "1/16 in", 0.0254 / 16, 480 * pound),
  strand("7x19", "1/16 in", 0.0254 / 16, 480 * pound),
  strand("7x19", "3/32 in", 0.0254 * (3 / 32), 920 * pound),
  strand("7x19", "1/8 in", 0.0254 / 8, 1760 * pound),
  strand("1x19", "1/16 in", 0.0254 / 16, 500 * pound),
];
