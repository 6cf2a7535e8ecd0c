/** What is loose, in words. */
import { formatQuantity } from "../base/index.ts";
import type { DepthRecord, Loose } from "../insertion/index.ts";

/** What was taken off for play and tolerances, in words. */
export function sayTaken({ loose }: DepthRecord, vertebra: number): string {
  if (loose === undefined) return "";
  const most = vertebra >= 0 ? (loose.hull[vertebra] as number) : Math.max(...loose.hull);
  return `, and ${vertebra >= 0 ? "" : "up to "}${formatQuantity(most, "length", "metric", 3)} for ${looseParts(loose)}, all one way`;
}

/** The parts of what is loose, by name. */
export function looseParts({ tip, aim }: Loose, names: readonly number[] = [0, 1, 2]): string {
  const parts = names.filter((k) => (tip[k] as number) > 0 || (aim[k] as number) > 0);
  return parts.map((k) => ["play of the joints", "play in the guide", "the port's tolerance"][k]).join(" and ");
}
