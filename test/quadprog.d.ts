/** The reference solver of quadratic programs brings no types. Its arrays count from 1: entry 0 is not read. */
declare module "quadprog" {
  type Row = readonly (number | undefined)[];

  /** Least x'Dx/2 - d'x with A'x >= b, the first `meq` of them equalities. */
  export function solveQP(
    D: readonly (Row | undefined)[],
    d: Row,
    A: readonly (Row | undefined)[],
    b?: Row,
    meq?: number,
  ): { solution: number[]; value: number[]; unconstrained_solution: number[]; iterations: number[]; iact: number[]; message: string };
}
