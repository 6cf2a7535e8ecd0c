/** How the page is built: into dist/page, without inline scripts, its worker as a file of its own. */
import { defineConfig } from "vite";

/** Where a development page finds the job; start one with `npx withy serve`. */
const server = "http://127.0.0.1:8420";

export default defineConfig({
  root: "apps/page",
  // three's renderer and the planner are each one honest piece; both come from this machine
  build: {
    outDir: "../../dist/page",
    emptyOutDir: true,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 1500,
  },
  worker: { format: "es" },
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  server: { proxy: { "/api": server, "/files": server, "/cad-kernel": server } },
});
