/** `npm start -- --once`, on the built tree. */
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";
import packageJson from "../../package.json" with { type: "json" };

const root = fileURLToPath(new URL("../..", import.meta.url));

it("plans the default example, prints the verdict, fetches its own page and ends", { timeout: 180_000 }, () => {
  const [node, ...args] = packageJson.scripts.start.split(" ");
  expect(node).toBe("node");
  const done = spawnSync(process.execPath, [...args, "--once"], { cwd: root, encoding: "utf8" });
  expect(done.stdout).toMatch(/^(GO|GO WITH CONDITIONS|NO GO|UNDECIDED): Marl Quay 2/);
  expect(done.stdout).toContain("Cautions");
  expect(done.stderr).toMatch(/The page at http:\/\/127\.0\.0\.1:\d+\/ answered: \d+ files, \d+ bytes\./);
  expect(done.status).toBe(0);
});
