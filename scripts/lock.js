// A lock folder, so that two runs in one clone do not install or build over each other.
import { mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";

/**
 * Runs `task` while holding the lock; waits for another living run, takes over from a dead one.
 *
 * @template T
 * @param {string} folder
 * @param {() => T | Promise<T>} task
 * @param {{ say?: (words: string) => void, pollMs?: number }} options
 * @returns {Promise<T>}
 */
export async function withLock(folder, task, options = {}) {
  const { say = () => {}, pollMs = 200 } = options;
  mkdirSync(dirname(folder), { recursive: true });
  let told = false;
  while (!take(folder)) {
    if (clearDead(folder)) continue;
    if (!told) say("Another run is installing or building in this folder; waiting for it.");
    told = true;
    await wait(pollMs);
  }
  const release = () => rmSync(folder, { recursive: true, force: true });
  process.on("exit", release);
  try {
    return await task();
  } finally {
    process.off("exit", release);
    release();
  }
}

/** @param {string} folder */
function take(folder) {
  try {
    mkdirSync(folder);
  } catch (error) {
    if (/** @type {NodeJS.ErrnoException} */ (error).code === "EEXIST") return false;
    throw error;
  }
  writeFileSync(join(folder, "pid"), String(process.pid));
  return true;
}

/** Removes the lock of a run that has ended. @param {string} folder */
function clearDead(folder) {
  if (isAlive(folder)) return false;
  rmSync(folder, { recursive: true, force: true });
  return true;
}

/** One that has not written its number yet is given ten seconds. @param {string} folder */
function isAlive(folder) {
  try {
    const pid = Number(readFileSync(join(folder, "pid"), "utf8"));
    if (pid > 0) process.kill(pid, 0);
    return pid > 0 || isYoung(folder);
  } catch (error) {
    const { code } = /** @type {NodeJS.ErrnoException} */ (error);
    if (code === "ENOENT") return isYoung(folder);
    return code !== "ESRCH";
  }
}

/** @param {string} folder */
function isYoung(folder) {
  try {
    return Date.now() - statSync(folder).mtimeMs < 10_000;
  } catch {
    return false;
  }
}
