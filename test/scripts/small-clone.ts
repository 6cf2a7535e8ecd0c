/** A clone in miniature: the project's own scripts over invented sources, with a PATH of invented tools that write down their calls. */
import { spawn } from "node:child_process";
import { chmodSync, cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const project = fileURLToPath(new URL("../..", import.meta.url));

export interface Finished {
  readonly status: number | null;
  readonly out: string;
  readonly err: string;
}

export interface SmallClone {
  readonly folder: string;
  /** puts a file, with the folders it needs */
  put(path: string, text: string): void;
  remove(path: string): void;
  /** puts a shell script on the PATH; its calls are logged */
  tool(name: string, body?: string): void;
  /** calls of the tools so far, one a line, and forgets them */
  calls(): string[];
  run(args: readonly string[], env?: Record<string, string>): Promise<Finished>;
  end(): void;
}

export function createSmallClone(): SmallClone {
  const folder = mkdtempSync(join(tmpdir(), "withy-clone-"));
  const tools = join(folder, ".tools");
  const log = join(folder, ".calls");
  mkdirSync(tools);
  for (const part of ["scripts", "bin"]) cpSync(join(project, part), join(folder, part), { recursive: true });

  const put = (path: string, text: string): void => {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  };
  put("package.json", '{ "name": "small", "type": "module" }');
  put("package-lock.json", "{}");
  put("src/a.ts", "export const a = 1;");
  put(
    "scripts/build.js",
    'import { appendFileSync, mkdirSync } from "node:fs"; mkdirSync("dist", { recursive: true }); appendFileSync(".calls", "build\\n");',
  );

  return {
    folder,
    put,
    remove: (path) => rmSync(join(folder, path), { recursive: true, force: true }),
    tool(name, body = "exit 0") {
      writeFileSync(join(tools, name), `#!/bin/sh\necho "${name} $*" >> "${log}"\n${body}\n`);
      chmodSync(join(tools, name), 0o755);
    },
    calls() {
      const text = existsSync(log) ? readFileSync(log, "utf8") : "";
      rmSync(log, { force: true });
      return text.split("\n").filter((line) => line !== "");
    },
    run(args, env = {}) {
      return new Promise((resolve) => {
        const child = spawn(process.execPath, args, { cwd: folder, env: { PATH: tools, ...env } });
        let out = "";
        let err = "";
        child.stdout.on("data", (data) => (out += data));
        child.stderr.on("data", (data) => (err += data));
        child.on("close", (status) => resolve({ status, out, err }));
      });
    },
    end: () => rmSync(folder, { recursive: true, force: true }),
  };
}
