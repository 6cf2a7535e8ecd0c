import { defineConfig } from "vitest/config";

/** One project a tier; scripts/test.js runs them one after another. Everything in test/ that has no tier of its own is a unit test. */
const tiers = {
  architecture: ["test/architecture"],
  published: ["test/published"],
  examples: ["test/examples"],
  browser: ["test/browser", "test/page"],
  scripts: ["test/scripts", "test/cli", "test/server"],
};

const tests = (folder: string): string => `${folder}/**/*.test.ts`;
const own = Object.values(tiers).flat().map(tests);
/** The limits are for a test that hangs: on a busy machine a slow one is no fault, and a soak run repeats it many times over. */
const limit = process.env["WITHY_SOAK"] === "1" ? 3_600_000 : 120_000;
const common = { environment: "node", setupFiles: ["test/soak.ts"], testTimeout: limit, hookTimeout: limit };

export default defineConfig({
  test: {
    projects: [
      { test: { ...common, name: "unit", include: ["test/**/*.test.ts"], exclude: own } },
      ...Object.entries(tiers).map(([name, folders]) => ({
        test: {
          ...common,
          name,
          include: folders.map(tests),
          // these start processes and browsers of their own
          ...(name === "browser" || name === "scripts" ? { fileParallelism: false } : {}),
        },
      })),
    ],
  },
});
