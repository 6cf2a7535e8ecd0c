/** A number of the arm's file changed as a person means it: an empty one is taken out, a backbone's layout brings its spacing along. */
import { isMap, parseDocument } from "yaml";
import { formatQuantity, readQuantity } from "../../src/base/index.ts";
import { dropValue, spliceValue } from "../../src/job/index.ts";

/** @throws InputError as `spliceValue` and `dropValue` do */
export function changeText(text: string, path: string, value: string): string {
  if (value.trim() === "") return dropValue(text, path);
  const changed = spliceValue(text, path, value);
  if (!path.endsWith("backbone.layout")) return changed;
  const spacing = path.replace(/layout$/, "spacing");
  if (value === "single") return dropValue(changed, spacing);
  if (value !== "twin" || lengthAt(changed, spacing) !== undefined) return changed;
  const apart = halfWay(changed, path.replace(/backbone\.layout$/, ""));
  return apart === undefined ? changed : spliceValue(changed, spacing, apart);
}

/** Rods half-way between the channel and the cables' holes: what a workshop would begin with. */
function halfWay(text: string, section: string): string | undefined {
  const channel = lengthAt(text, `${section}channel`) ?? 0;
  const radius = lengthAt(text, `${section}cables.circle-radius`);
  const hole = lengthAt(text, `${section}cables.hole`);
  if (radius === undefined || hole === undefined) return undefined;
  return formatQuantity(channel / 2 + radius - hole / 2, "length", "metric", 3);
}

function lengthAt(text: string, path: string): number | undefined {
  const root = parseDocument(text, { prettyErrors: false }).contents;
  const keys = path.replace(/\[(\d+)\]/g, ".$1").split(".");
  const written = isMap(root) ? root.getIn(keys.map((key) => (/^\d+$/.test(key) ? Number(key) : key))) : undefined;
  if (written === undefined) return undefined;
  const read = readQuantity(written, "length");
  return "code" in read ? undefined : read.nominal;
}
