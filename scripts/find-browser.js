// Finds a Chromium for the browser tests: a setting first, then the system.
import { spawnSync } from "node:child_process";
import { accessSync, constants } from "node:fs";
import { delimiter, join } from "node:path";

/** The environment variable that names the browser to use. */
export const setting = "WITHY_CHROMIUM";
const names = ["chromium", "chromium-browser", "chrome"];

/**
 * @param {NodeJS.ProcessEnv} env
 * @returns {{ path: string } | { path?: undefined, problem: string }}
 */
export function findBrowser(env = process.env) {
  const set = env[setting];
  if (set !== undefined && set !== "") {
    return runs(set, env)
      ? { path: set }
      : { problem: `${setting} is ${set}, which does not run. Point it at a Chromium, or leave it unset.` };
  }
  for (const name of names) {
    const path = onPath(name, env);
    if (path !== undefined && runs(path, env)) return { path };
  }
  return { problem: `No Chromium was found. Install one (on Debian: apt-get install chromium) or set ${setting} to its path.` };
}

/** Full path of a command, as the shell would find it. @param {string} name @param {NodeJS.ProcessEnv} env @returns {string | undefined} */
export function onPath(name, env) {
  for (const folder of (env["PATH"] ?? "").split(delimiter)) {
    if (folder === "") continue;
    const path = join(folder, name);
    try {
      accessSync(path, constants.X_OK);
      return path;
    } catch {
      // not here: try the next folder
    }
  }
  return undefined;
}

/** @param {string} path @param {NodeJS.ProcessEnv} env */
function runs(path, env) {
  return spawnSync(path, ["--version"], { env, stdio: "ignore", timeout: 30000 }).status === 0;
}
