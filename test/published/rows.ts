/** Every check against a number from outside: what it is, where its truth is from, what is asked of it. */

export interface Row {
  readonly group: string;
  readonly check: string;
  readonly source: string;
  /** the error must stay below this */
  readonly asked: number;
  /** of the error; "1" for a share of the value */
  readonly unit: string;
}

export const rows = {
  eulerFree: {
    group: "Stability",
    check: "strut clamped and free: load at which the solver counts its first unstable direction",
    source: "Euler, pi^2 EI/4 L^2 (Timoshenko & Gere, from memory)",
    asked: 1e-7,
    unit: "1",
  },
  eulerPinned: {
    group: "Stability",
    check: "strut clamped below, its tip led in a tube: free to turn, not to go aside",
    source: "Euler, tan z = z, P = z^2 EI/L^2 (Timoshenko & Gere, from memory)",
    asked: 1e-6,
    unit: "1",
  },
  eulerBuiltIn: {
    group: "Stability",
    check: "strut clamped below, its tip led in a tube over a length: built in",
    source: "Euler, 4 pi^2 EI/L^2 (Timoshenko & Gere, from memory)",
    asked: 1e-6,
    unit: "1",
  },
  greenhillColumn: {
    group: "Stability",
    check: "column under its own weight: w L^3/EI at which it falls over",
    source: "Greenhill 1881: 9/4 j^2, j the first zero of J_-1/3 (recomputed)",
    asked: 1e-6,
    unit: "1",
  },
  steelColumn: {
    group: "Stability",
    check: "steel rod of 3 mm upright: the length at which it falls over, 2.254120 m",
    source: "Greenhill 1881, worked example (recomputed)",
    asked: 1e-6,
    unit: "m",
  },
  twistBuiltIn: {
    group: "Stability",
    check: "rod wrung between built-in ends",
    source: "2 z EI/L, tan z = z: 8.986818916 (Greenhill; Timoshenko & Gere, sec. 2.21, from memory)",
    asked: 1e-6,
    unit: "1",
  },
  twistAndThrust: {
    group: "Stability",
    check: "rod pushed and wrung at once between built-in ends",
    source: "closed form, derived beside the test",
    asked: 1e-6,
    unit: "1",
  },
  semitangential: {
    group: "Stability",
    check: "rod clamped and free, wrung about an axis that stays: its part with a potential",
    source: "semitangential moment, pi EI/L (Ziegler, Principles of Structural Stability, from memory; derived beside the test)",
    asked: 1e-6,
    unit: "1",
  },
} as const satisfies Record<string, Row>;
