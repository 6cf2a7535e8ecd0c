// Brings a clone to the point where it can run: packages, build, browser. Each step is left out when it is already done, so
// the second run needs no network. Plain Node: runs before anything is installed.
//
//   node scripts/set-up.js [--build] [--browser]
import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { findBrowser, onPath } from "./find-browser.js";
import { withLock } from "./lock.js";
import { buildStamp, installStamp, isStamped, putStamp } from "./stamp.js";

const root = fileURLToPath(new URL("..", import.meta.url));
const wants = new Set(process.argv.slice(2));

await withLock(join(root, ".stamps", "lock"), setUp, { say });

function setUp() {
  if (!nodeIsNewEnough()) return;
  if (!installPackages()) return;
  if (wants.has("--build") && !build()) return;
  if (wants.has("--browser")) installBrowser();
}

function nodeIsNewEnough() {
  const [major, minor] = process.versions.node.split(".").map(Number);
  if (Number(major) > 20 || (major === 20 && Number(minor) >= 19)) return true;
  return fail(`Node 20.19 or newer is needed; this is ${process.versions.node}.`);
}

/** The stamp lies inside node_modules: removing that folder, or an install cut short, takes the stamp away with it. */
function installPackages() {
  const stampFile = join(root, "node_modules", ".withy-installed");
  const stamp = installStamp(root);
  if (isStamped(stampFile, stamp)) return true;
  say("Installing packages (npm ci) ...");
  if (!run(...npm(), "ci", "--include=dev", "--no-audit", "--no-fund")) {
    return fail(
      "npm ci did not work: see its message above. The first install needs the network; run the same command again when it is there.",
    );
  }
  putStamp(stampFile, stamp);
  return true;
}

function build() {
  const stampFile = join(root, "dist", ".built");
  const stamp = buildStamp(root);
  if (isStamped(stampFile, stamp)) return true;
  say("Building ...");
  if (!run(process.execPath, join(root, "scripts", "build.js"), "--locked")) return fail("The build did not work: see its message above.");
  putStamp(stampFile, stamp);
  return true;
}

/** A missing browser does not end the set-up: the test run goes on and counts it as a failure, with the same words. */
function installBrowser() {
  const found = findBrowser();
  if (found.path !== undefined) return;
  const manager = packageManager();
  if (process.env["WITHY_CHROMIUM"] || manager === undefined) {
    say(found.problem);
    return;
  }
  say(`Installing Chromium for the browser tests (${manager.name}) ...`);
  for (const command of manager.commands) {
    if (!run(...command)) {
      say(`"${command.join(" ")}" did not work: see its message above. ${found.problem}`);
      return;
    }
  }
  const again = findBrowser();
  if (again.path === undefined) say(`${manager.name} went through, yet no Chromium runs. ${again.problem}`);
}

/** The system's package manager, where this run may use it: only root can. @returns {{ name: string, commands: [string, ...string[]][] } | undefined} */
function packageManager() {
  if (spawnSync("id", ["-u"], { encoding: "utf8" }).stdout?.trim() !== "0") return undefined;
  if (onPath("apt-get", process.env) !== undefined) {
    return {
      name: "apt-get",
      commands: [
        ["apt-get", "update"],
        ["apt-get", "install", "--yes", "--no-install-recommends", "chromium"],
      ],
    };
  }
  if (onPath("apk", process.env) !== undefined) return { name: "apk", commands: [["apk", "add", "chromium"]] };
  if (onPath("dnf", process.env) !== undefined) return { name: "dnf", commands: [["dnf", "install", "--assumeyes", "chromium"]] };
  return undefined;
}

/** The npm that started this script, else the one on the path. @returns {[string, ...string[]]} */
function npm() {
  const own = process.env["npm_execpath"];
  return own !== undefined && existsSync(own) ? [process.execPath, own] : ["npm"];
}

/** @param {string} command @param {string[]} args */
function run(command, ...args) {
  const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" };
  const done = spawnSync(command, args, { cwd: root, env, stdio: ["ignore", 2, 2] });
  if (done.error !== undefined) say(`${command}: ${done.error.message}`);
  return done.status === 0;
}

/** @param {string} words */
function say(words) {
  process.stderr.write(`${words}\n`);
}

/** @param {string} words @returns {false} */
function fail(words) {
  say(words);
  process.exitCode = 1;
  return false;
}
