/** The page's workers for work on all cores: started when something first asks for them, then kept. */
import { createPagePool, type Pool } from "../../worker/index.ts";

const start = () => new Worker(new URL("../../worker/page-thread.ts", import.meta.url), { type: "module", name: "withy-core" });
let pool: Pool | undefined;

export function corePool(): Pool {
  pool ??= createPagePool(start, Math.max(1, navigator.hardwareConcurrency));
  return pool;
}
