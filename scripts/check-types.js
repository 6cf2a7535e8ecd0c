// The type check: the whole tree, then the plain scripts by their doc comments.
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));
const projects = ["tsconfig.json", "tsconfig.scripts.json"];
const failed = projects.filter((project) => {
  return spawnSync(process.execPath, ["node_modules/tsc7/bin/tsc", "-p", project], { cwd: root, stdio: "inherit" }).status !== 0;
});
if (failed.length > 0) {
  console.error(`Type faults in ${failed.join(", ")}.`);
  process.exitCode = 1;
}
