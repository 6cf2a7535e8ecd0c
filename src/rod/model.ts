/** How a solve ended. Only `stable` and `slack` shapes may be shown as results. */
export type SolveStatus = "stable" | "slack" | "buckled" | "not-converged";
