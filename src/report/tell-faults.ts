/** What may fail on the way, and whether the arm is drawn out then: for the owner of the machine and for whoever pulls. */
import type { ArmModel } from "../arm/index.ts";
import { reachOf, type WayFound } from "../faults/index.ts";
import type { Job } from "../job/index.ts";
import type { PlanResult } from "../plan/index.ts";
import { listFaults, sayFault, sayLink } from "../verdict/index.ts";
import { keepUnits } from "./measure.ts";
import { bullets, type Child, type Page, table, tag } from "./page.ts";

/** Empty where it was not looked at. */
export function tellFaults(page: Page, job: Job, arm: ArmModel, { faults }: PlanResult): HTMLElement[] {
  if (faults === undefined) return [];
  const facts = { arm, bodies: job.bodies };
  const lines = listFaults(facts, faults);
  const worst = faults.findings
    .flatMap((finding) => [...finding.holding, ...finding.helping].map((way) => ({ finding, way })))
    .filter(({ way }) => way.outcome !== "unknown" && way.link !== undefined && Number.isFinite(way.pull))
    .reduce<{ says: string; way: WayFound } | undefined>(
      (best, { finding, way }) => (best === undefined || way.pull > best.way.pull ? { says: sayFault(facts, finding), way } : best),
      undefined,
    );
  const kinds = [
    ["any one cable breaks", "broken"],
    ["any one drive stalls", "stalled"],
    ["the power goes, drives that hold", "locked"],
    ["the power goes, drives that let go", "released"],
  ] as const;
  const rows = kinds.map(([says, kind]): Child[] => {
    const findings = faults.findings.filter((finding) => finding.kind === kind);
    const down = (by: "holding" | "helping"): string => {
      const least = Math.min(...findings.map((finding) => reachOf(finding, by).depth));
      return least === Number.POSITIVE_INFINITY ? "everywhere" : `${(least * 1e3).toFixed(0)}\u00a0mm`;
    };
    return [says, down("holding"), findings.some((finding) => finding.helping.length > 0) ? down("helping") : "\u2013"];
  });
  return [
    table(
      page,
      "Down to which depth the arm is still drawn out, keeping off what must not be touched (simulated)",
      ["When", "Healthy drives holding", "Healthy drives helping"],
      rows,
      [1, 2],
    ),
    ...(lines.length === 0
      ? []
      : [
          bullets(
            page,
            lines.map((line) => keepUnits(`${line.says}.`)),
          ),
        ]),
    ...(worst?.way.link === undefined
      ? []
      : [
          tag(
            page,
            "p",
            {},
            keepUnits(`Greatest pull ${Number(worst.way.pull.toPrecision(3))} N (${worst.says}). ${sayLink({ arm }, worst.way.link)}`),
          ),
        ]),
    bullets(page, faults.notes),
  ];
}
