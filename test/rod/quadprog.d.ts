/** The little of the package's interface that the tests use; every array is 1-based. */
declare module "quadprog" {
  interface Solution {
    solution: number[];
    /** empty when it was solved */
    message: string;
  }
  function solveQP(Dmat: number[][], dvec: number[], Amat: number[][], bvec: number[], meq?: number): Solution;
  const quadprog: { solveQP: typeof solveQP };
  export default quadprog;
}
