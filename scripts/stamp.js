// Stamps: hashes of content that tell whether an install or a build is still true. No dates, so a fresh checkout or a copied
// folder gives the same answer. Plain Node: runs before anything is installed.
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { dirname, join, relative, sep } from "node:path";

/**
 * Hash of the names and contents of files and folders; what is missing counts as missing.
 *
 * @param {string} root
 * @param {readonly string[]} names files and folders, relative to root
 * @param {readonly string[]} facts further words that count
 */
export function hashContent(root, names, facts = []) {
  const hash = createHash("sha256");
  for (const fact of facts) hash.update(`fact ${fact}\n`);
  for (const file of listFiles(root, names)) {
    hash.update(`file ${relative(root, file).split(sep).join("/")}\n`);
    hash.update(readFileSync(file));
    hash.update("\n");
  }
  return hash.digest("hex");
}

/** What an install depends on: the lock, and the machine that native parts are picked for. @param {string} root */
export function installStamp(root) {
  return hashContent(root, ["package-lock.json"], [process.versions.modules, process.arch, process.platform]);
}

/** What a build depends on. @param {string} root */
export function buildStamp(root) {
  const sources = ["src", "apps", "bin", "scripts/build.js", "package.json", "package-lock.json", "tsconfig.json", "tsconfig.build.json"];
  return hashContent(root, [...sources, "vite.config.ts", "vite.config.js"]);
}

/** @param {string} file @param {string} stamp */
export function isStamped(file, stamp) {
  return existsSync(file) && readFileSync(file, "utf8").trim() === stamp;
}

/** @param {string} file @param {string} stamp */
export function putStamp(file, stamp) {
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, `${stamp}\n`);
}

/** @param {string} root @param {readonly string[]} names @returns {string[]} sorted, so that the order on disk does not count */
function listFiles(root, names) {
  /** @type {string[]} */
  const found = [];
  /** @param {string} path */
  const visit = (path) => {
    if (!existsSync(path)) return;
    if (statSync(path).isDirectory()) for (const name of readdirSync(path)) visit(join(path, name));
    else found.push(path);
  };
  for (const name of names) visit(join(root, name));
  return found.sort();
}
