export { countNegative, factorCholesky, factorLu, solveCholesky, solveLu } from "./dense.ts";
export { createFrameAlong, pointOf, rollFrame } from "./frames.ts";
