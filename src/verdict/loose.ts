/** What is loose or rubs, in words. */
import { formatQuantity } from "../base/index.ts";
import type { DepthRecord, Loose } from "../insertion/index.ts";

/** What was taken off for play, tolerances and friction, in words. */
export function sayTaken({ loose, rub }: DepthRecord, vertebra: number): string {
  const most = (hull: Float64Array): string => {
    const size = formatQuantity(vertebra >= 0 ? (hull[vertebra] as number) : Math.max(...hull), "length", "metric", 3);
    return `${vertebra >= 0 ? "" : "up to "}${size}`;
  };
  const play = loose === undefined ? "" : `, and ${most(loose.hull)} for ${looseParts(loose)}, all one way`;
  return `${play}${rub === undefined ? "" : `, and ${most(rub.hull)} for friction anywhere in its range`}`;
}

/** The parts of what is loose, by name. */
export function looseParts({ tip, aim }: Loose, names: readonly number[] = [0, 1, 2]): string {
  const parts = names.filter((k) => (tip[k] as number) > 0 || (aim[k] as number) > 0);
  return parts.map((k) => ["play of the joints", "play in the guide", "the port's tolerance"][k]).join(" and ");
}
