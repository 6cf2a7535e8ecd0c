// Builds dist/: the library, command line and server by the TypeScript compiler, the page by Vite. Everything is made beside the
// old build and moved into place at the end, so a failed build changes nothing.
//
//   node scripts/build.js [--locked]    --locked: the caller holds the lock already
import { spawnSync } from "node:child_process";
import { existsSync, renameSync, rmSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { withLock } from "./lock.js";

const root = fileURLToPath(new URL("..", import.meta.url));
const next = join(root, "dist.next");
const dist = join(root, "dist");

if (process.argv.includes("--locked")) build();
else await withLock(join(root, ".stamps", "lock"), build, { say: console.error });

function build() {
  rmSync(next, { recursive: true, force: true });
  if ([compile, bundlePage].every((step) => step())) moveIntoPlace();
  else {
    rmSync(next, { recursive: true, force: true });
    process.exitCode = 1;
  }
}

function compile() {
  return node(["node_modules/tsc7/bin/tsc", "-p", "tsconfig.build.json", "--outDir", next]);
}

function bundlePage() {
  if (!existsSync(join(root, "apps/page/index.html"))) {
    console.error("apps/page/index.html is not there: the build goes without the page.");
    return true;
  }
  const config = ["apps/page/vite.config.ts", "vite.config.ts"].find((name) => existsSync(join(root, name)));
  const chosen = config === undefined ? ["apps/page"] : ["--config", config];
  return node([
    "node_modules/vite/bin/vite.js",
    "build",
    ...chosen,
    "--outDir",
    join(next, "page"),
    "--emptyOutDir",
    "--logLevel",
    "error",
  ]);
}

function moveIntoPlace() {
  rmSync(dist, { recursive: true, force: true });
  renameSync(next, dist);
}

/** @param {string[]} args */
function node(args) {
  return spawnSync(process.execPath, args, { cwd: root, stdio: "inherit" }).status === 0;
}
