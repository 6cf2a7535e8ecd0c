#!/usr/bin/env node
// Starts the built command line, and says what to run when there is nothing to start.
import { existsSync } from "node:fs";
import { fileURLToPath, pathToFileURL } from "node:url";

const main = fileURLToPath(new URL("../dist/apps/cli/main.js", import.meta.url));
const [major, minor] = process.versions.node.split(".").map(Number);

if (Number(major) < 20 || (major === 20 && Number(minor) < 19)) {
  console.error(`withy needs Node 20.19 or newer; this is ${process.versions.node}. Install a newer Node and run the same command again.`);
  process.exitCode = 70;
} else if (!existsSync(main)) {
  const root = fileURLToPath(new URL("..", import.meta.url));
  console.error(`withy is not built yet. Run these two in ${root}, then the same command again:\n  npm ci --include=dev\n  npm run build`);
  process.exitCode = 70;
} else {
  await import(pathToFileURL(main).href);
}
