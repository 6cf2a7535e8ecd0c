/** Serves the built page, one job's own files, and its plan. It changes nothing and runs nothing for those who ask. */
import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import helmet from "@fastify/helmet";
import fastifyStatic from "@fastify/static";
import fastify, { type FastifyInstance } from "fastify";

export interface Served {
  /** name of the job file among `files` */
  readonly main: string;
  /** [path from the job's folder] bytes as they were read for the plan: what is served is what was planned */
  readonly files: ReadonlyMap<string, Uint8Array>;
  /** [path from the rack's folder] arm files to be held against the job; none when absent */
  readonly rack?: ReadonlyMap<string, Uint8Array>;
  /** the plan as JSON, once there is one */
  planJson(): string | undefined;
  /** folder of the built page */
  readonly pageFolder: string;
  /** answer whatever name the machine is called by; otherwise only loopback names are answered */
  readonly anyHost: boolean;
}

/** @returns a server that does not listen yet */
export async function createServer(served: Served): Promise<FastifyInstance> {
  const server = fastify({ bodyLimit: 1024, forceCloseConnections: true });
  await server.register(helmet, {
    contentSecurityPolicy: { useDefaults: false, directives: policy },
    // plain http on loopback: a browser must not be told to come back by https
    strictTransportSecurity: false,
    originAgentCluster: true,
  });
  if (!served.anyHost) refuseOtherNames(server);
  serveJob(server, served);
  await servePage(server, served.pageFolder);
  await serveKernel(server);
  server.setNotFoundHandler((request, reply) => reply.code(404).send({ problem: `There is no ${request.url} here.` }));
  return server;
}

/** The page loads only what this server gives it, and starts workers from the same place alone. Its worker may compile WebAssembly, no script. */
const policy = {
  defaultSrc: ["'none'"],
  scriptSrc: ["'self'", "'wasm-unsafe-eval'"],
  styleSrc: ["'self'"],
  imgSrc: ["'self'", "data:", "blob:"],
  fontSrc: ["'self'"],
  connectSrc: ["'self'"],
  workerSrc: ["'self'"],
  manifestSrc: ["'self'"],
  baseUri: ["'none'"],
  formAction: ["'none'"],
  frameAncestors: ["'none'"],
};

/** The worker for CAD files is given a policy of its own: its kernel's glue makes functions from text. It sees no page and asks this server alone. */
const cadWorker = /[\\/]cad-worker-[^\\/]*\.js$/;
const cadPolicy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval' 'unsafe-eval'; connect-src 'self'";

/** A foreign page could give its own name this machine's address: then the browser's Host says that name, and gets nothing. */
function refuseOtherNames(server: FastifyInstance): void {
  server.addHook("onRequest", async (request, reply) => {
    const name = (request.headers.host ?? "").replace(/:\d+$/, "");
    if (["127.0.0.1", "localhost", "[::1]"].includes(name)) return;
    return reply.code(403).send({ problem: `This server answers on this machine only, not as "${name}".` });
  });
}

function serveJob(server: FastifyInstance, served: Served): void {
  server.get("/api/job", (_request, reply) => {
    return reply.header("cache-control", "no-store").send({
      main: served.main,
      files: [...served.files.keys()],
      rack: [...(served.rack?.keys() ?? [])],
    });
  });
  server.get("/api/plan", (_request, reply) => {
    const plan = served.planJson();
    reply.header("cache-control", "no-store");
    if (plan === undefined) return reply.code(404).send({ problem: "The job is not planned yet." });
    return reply.type("application/json; charset=utf-8").send(plan);
  });
  serveFiles(server, "/files/", served.files, "this job");
  serveFiles(server, "/rack/", served.rack ?? new Map(), "the rack");
}

function serveFiles(server: FastifyInstance, under: string, files: ReadonlyMap<string, Uint8Array>, whose: string): void {
  server.get<{ Params: { "*": string } }>(`${under}*`, (request, reply) => {
    const name = request.params["*"];
    const bytes = files.get(name);
    reply.header("cache-control", "no-store");
    if (bytes === undefined) return reply.code(404).send({ problem: `${name} is not a file of ${whose}.` });
    return reply.type("application/octet-stream").send(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength));
  });
}

async function servePage(server: FastifyInstance, folder: string): Promise<void> {
  if (existsSync(join(folder, "index.html"))) {
    await server.register(fastifyStatic, {
      root: folder,
      cacheControl: false,
      dotfiles: "deny",
      setHeaders: (reply, path) => {
        if (cadWorker.test(path)) reply.setHeader("content-security-policy", cadPolicy);
      },
    });
    return;
  }
  server.get("/", (_request, reply) => reply.code(503).send({ problem: "The page is not built. Run npm run build and start again." }));
}

/** The CAD kernel as its own package has it, and its licences: nothing of it is taken over into the page. */
async function serveKernel(server: FastifyInstance): Promise<void> {
  const root = dirname(createRequire(import.meta.url).resolve("occt-import-js"));
  await server.register(fastifyStatic, { root, prefix: "/cad-kernel/", decorateReply: false, cacheControl: false, dotfiles: "deny" });
}
