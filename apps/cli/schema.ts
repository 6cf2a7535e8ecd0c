/** `withy schema`: the JSON Schema of a job or an arm file, for editors. */
import { armSchema, jobSchema } from "../../src/job/index.ts";
import type { Console } from "./console.ts";
import { exitCodes } from "./exit-codes.ts";

export async function schema(kind: "job" | "arm", console: Console): Promise<number> {
  console.out(`${JSON.stringify(kind === "arm" ? armSchema() : jobSchema(), null, 2)}\n`);
  return exitCodes.go;
}
