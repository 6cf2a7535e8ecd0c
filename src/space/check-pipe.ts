/** What is wrong with the dimensions of a bend, reducer, tee or annulus. */
import { formatQuantity } from "../base/index.ts";
import type { Add } from "./check-bodies.ts";
import type { AnnulusShape, BendShape, ReducerShape, TeeShape } from "./description.ts";

export function checkPipe(shape: BendShape | ReducerShape | TeeShape | AnnulusShape, add: Add): void {
  const above = (field: string, value: number): void => {
    if (!(value > 0 && value < Infinity)) add(field, `is ${say(value)}.`, "Give a length above 0.");
  };
  switch (shape.kind) {
    case "bend": {
      const { bendRadius, boreRadius, angle } = shape;
      above("bendRadius", bendRadius);
      above("boreRadius", boreRadius);
      if (bendRadius < boreRadius)
        add(
          "bendRadius",
          `is ${say(bendRadius)}, and the bore's radius is ${say(boreRadius)}: the inner wall would fold.`,
          "Give the bore's radius or more.",
        );
      if (!(angle > 0 && angle < 2 * Math.PI - 1e-6))
        add("angle", `is ${formatQuantity(angle, "angle", "metric")}.`, "Give an angle above 0 and below 360 deg.");
      return;
    }
    case "reducer":
      shape.radii.forEach((value, i) => {
        above(`radii[${i}]`, value);
      });
      above("length", shape.length);
      return;
    case "tee":
      above("runRadius", shape.runRadius);
      above("runLength", shape.runLength);
      above("branchRadius", shape.branchRadius);
      above("branchLength", shape.branchLength);
      if (!(shape.angle > 0.17 && shape.angle < Math.PI - 0.17))
        add("angle", `is ${formatQuantity(shape.angle, "angle", "metric")}.`, "Give an angle between 10 deg and 170 deg.");
      if (shape.branchRadius > shape.runRadius)
        add(
          "branchRadius",
          `is ${say(2 * shape.branchRadius)}, and the run's is ${say(2 * shape.runRadius)}.`,
          "Give a branch no wider than the run: name the wider one the run.",
        );
      return;
    case "annulus":
      above("innerRadius", shape.innerRadius);
      above("outerRadius", shape.outerRadius);
      above("length", shape.length);
      if (shape.innerRadius >= shape.outerRadius)
        add(
          "innerRadius",
          `is ${say(2 * shape.innerRadius)}, and the casing's is ${say(2 * shape.outerRadius)}: no room is left.`,
          "Give a thinner shaft or a wider casing.",
        );
  }
}

function say(value: number): string {
  return formatQuantity(value, "length", "metric");
}
