// Compiles kernel/ (AssemblyScript) to WebAssembly and writes its bytes as text into src/rod/kernel-bytes.ts.
//
//   node scripts/build-kernel.js [--check]    --check: writes nothing, says whether the bytes are those of the source as it stands
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

// its types take the name `console` for themselves
const compiler = "assemblyscript/asc";
const { default: asc } = await import(compiler);

const root = fileURLToPath(new URL("..", import.meta.url));
const target = join(root, "src/rod/kernel-bytes.ts");

/** @type {Uint8Array | undefined} */
let bytes;
const { error, stderr } = await asc.main(
  [
    "kernel/index.ts",
    ...["--outFile", "kernel.wasm", "-O3", "--noAssert", "--runtime", "stub", "--enable", "simd,bulk-memory"],
    ...["--importMemory", "--initialMemory", "1", "--noExportMemory"],
  ],
  {
    readFile: (/** @type {string} */ name, /** @type {string} */ folder) => {
      try {
        return readFileSync(join(root, folder, name), "utf8");
      } catch {
        return null;
      }
    },
    writeFile: (/** @type {string} */ _, /** @type {unknown} */ contents) => {
      bytes = contents instanceof Uint8Array ? contents : undefined;
    },
    listFiles: (/** @type {string} */ folder, /** @type {string} */ from) =>
      readdirSync(join(root, from, folder)).filter((name) => name.endsWith(".ts")),
  },
);
if (error !== null || bytes === undefined) {
  console.error(stderr.toString());
  process.exit(1);
}
const text = `/** Made from kernel/ by \`node scripts/build-kernel.js\`: change it there. */
export const kernelBytes =
  "${Buffer.from(bytes).toString("base64")}";
`;
if (!process.argv.includes("--check")) writeFileSync(target, text);
else if (readFileSync(target, "utf8") !== text) {
  console.error("src/rod/kernel-bytes.ts is not what kernel/ makes: run node scripts/build-kernel.js.");
  process.exit(1);
}
