import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { request } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { createServer, fetchPage, isLoopback, listen, type Served } from "../../apps/server/index.ts";

const folder = mkdtempSync(join(tmpdir(), "withy-server-"));
const page = join(folder, "page");
const bytes = Uint8Array.of(0, 1, 2, 255);
let plan: string | undefined;

function served(changes: Partial<Served> = {}): Served {
  const files = new Map([
    ["job.yaml", new TextEncoder().encode("name: x")],
    ["meshes/a b.stl", bytes],
  ]);
  return { main: "job.yaml", files, planJson: () => plan, pageFolder: page, anyHost: false, ...changes };
}

beforeAll(() => {
  mkdirSync(page);
  writeFileSync(join(page, "index.html"), '<!doctype html><script type="module" src="/main.js"></script>');
  writeFileSync(join(page, "main.js"), "export {};");
  writeFileSync(join(page, ".secret"), "no");
  writeFileSync(join(folder, "outside.txt"), "not yours");
});

afterAll(() => rmSync(folder, { recursive: true }));

describe("the server", () => {
  it("tells the job and gives its files as they were read", async () => {
    const server = await createServer(served());
    const job = await server.inject({ url: "/api/job", headers: { host: "127.0.0.1:1" } });
    expect(job.json()).toEqual({ main: "job.yaml", files: ["job.yaml", "meshes/a b.stl"], rack: [] });
    const mesh = await server.inject({ url: "/files/meshes/a%20b.stl", headers: { host: "localhost:1" } });
    expect(mesh.statusCode).toBe(200);
    expect(new Uint8Array(mesh.rawPayload)).toEqual(bytes);
  });

  it("gives the arms of its rack, and nothing else by that way", async () => {
    const server = await createServer(served({ rack: new Map([["twin/arm.yaml", bytes]]) }));
    const headers = { host: "127.0.0.1" };
    expect((await server.inject({ url: "/api/job", headers })).json().rack).toEqual(["twin/arm.yaml"]);
    expect(new Uint8Array((await server.inject({ url: "/rack/twin/arm.yaml", headers })).rawPayload)).toEqual(bytes);
    for (const url of ["/rack/job.yaml", "/rack/../job.yaml", "/rack/%2e%2e/job.yaml", "/files/twin/arm.yaml"])
      expect((await server.inject({ url, headers })).statusCode, url).toBe(404);
  });

  it("has no plan until there is one", async () => {
    const server = await createServer(served());
    const headers = { host: "127.0.0.1" };
    plan = undefined;
    expect((await server.inject({ url: "/api/plan", headers })).statusCode).toBe(404);
    plan = '{"version":1}';
    const answer = await server.inject({ url: "/api/plan", headers });
    expect(answer.statusCode).toBe(200);
    expect(answer.headers["content-type"]).toContain("application/json");
    expect(answer.json()).toEqual({ version: 1 });
    plan = undefined;
  });

  it.each([
    "/files/other.yaml",
    "/files/../package.json",
    "/files/..%2f..%2fpackage.json",
    "/files/meshes/../../outside.txt",
    "/files/%2fetc%2fpasswd",
    "/files/",
    "/outside.txt",
    "/..%2foutside.txt",
    "/%2e%2e/outside.txt",
    "/.secret",
    "/api/nothing",
  ])("gives nothing else: %s", async (url) => {
    const server = await createServer(served());
    const answer = await server.inject({ url, headers: { host: "127.0.0.1" } });
    expect([400, 403, 404]).toContain(answer.statusCode);
    expect(answer.payload).not.toContain("not yours");
    expect(answer.payload).not.toContain('"license"');
  });

  it("takes nothing in", async () => {
    const server = await createServer(served());
    for (const method of ["POST", "PUT", "DELETE", "PATCH"] as const) {
      const answer = await server.inject({ method, url: "/files/job.yaml", headers: { host: "127.0.0.1" }, payload: "x" });
      expect(answer.statusCode).toBeGreaterThanOrEqual(400);
    }
  });

  it("sends a policy that lets the page load from here alone", async () => {
    const server = await createServer(served());
    const answer = await server.inject({ url: "/", headers: { host: "127.0.0.1" } });
    expect(answer.statusCode).toBe(200);
    const policy = String(answer.headers["content-security-policy"]);
    for (const part of [
      "default-src 'none'",
      "script-src 'self' 'wasm-unsafe-eval'",
      "worker-src 'self'",
      "connect-src 'self'",
      "frame-ancestors 'none'",
    ]) {
      expect(policy).toContain(part);
    }
    expect(policy.replace("'wasm-unsafe-eval'", "")).not.toMatch(/unsafe|https?:|\*/);
    expect(answer.headers["strict-transport-security"]).toBeUndefined();
    expect(answer.headers["x-content-type-options"]).toBe("nosniff");
  });

  it("answers to this machine's own names alone, unless it is open to others", async () => {
    const shut = await createServer(served());
    expect((await shut.inject({ url: "/api/job", headers: { host: "example.com" } })).statusCode).toBe(403);
    expect((await shut.inject({ url: "/", headers: { host: "127.0.0.1.example.com" } })).statusCode).toBe(403);
    expect((await shut.inject({ url: "/", headers: { host: "[::1]:8420" } })).statusCode).toBe(200);
    const open = await createServer(served({ anyHost: true }));
    expect((await open.inject({ url: "/api/job", headers: { host: "bench-2:8420" } })).statusCode).toBe(200);
  });

  it("says what to do when the page is not built", async () => {
    const server = await createServer(served({ pageFolder: join(folder, "nowhere") }));
    const answer = await server.inject({ url: "/", headers: { host: "127.0.0.1" } });
    expect(answer.statusCode).toBe(503);
    expect(answer.payload).toContain("npm run build");
  });
});

describe("listening", () => {
  it("takes another port when the usual one is taken, but not when one was asked for", async () => {
    const first = await createServer(served());
    const second = await createServer(served());
    const third = await createServer(served());
    try {
      const address = await listen(first, "127.0.0.1", 0);
      const port = Number(new URL(address).port);
      await expect(listen(second, "127.0.0.1", port)).rejects.toMatchObject({ code: "EADDRINUSE" });
      expect(Number(new URL(await listen(third, "127.0.0.1")).port)).toBeGreaterThan(0);
    } finally {
      await Promise.all([first.close(), second.close(), third.close()]);
    }
  });

  it("is fetched as a browser would", async () => {
    plan = "{}";
    const server = await createServer(served());
    try {
      const answers = await fetchPage(await listen(server, "127.0.0.1", 0));
      expect(answers.map(({ path, status }) => `${status} ${path}`)).toEqual([
        "200 /",
        "200 /api/job",
        "200 /main.js",
        "200 /files/job.yaml",
        "200 /files/meshes/a%20b.stl",
        "200 /api/plan",
      ]);
      expect(answers.every((answer) => answer.bytes > 0)).toBe(true);
    } finally {
      await server.close();
      plan = undefined;
    }
  });

  it("does not walk out of the page's folder on a raw request", async () => {
    const server = await createServer(served());
    try {
      const { hostname, port } = new URL(await listen(server, "127.0.0.1", 0));
      // a URL object would tidy the dots away before they are sent
      const status = await new Promise((resolve, reject) => {
        request({ hostname, port, path: "/../outside.txt" }, (answer) => resolve(answer.resume().statusCode))
          .on("error", reject)
          .end();
      });
      expect([400, 403, 404]).toContain(status);
    } finally {
      await server.close();
    }
  });

  it.each([
    ["127.0.0.1", true],
    ["127.8.8.8", true],
    ["localhost", true],
    ["::1", true],
    ["0.0.0.0", false],
    ["::", false],
    ["192.168.1.2", false],
    ["127.0.0.1.example.com", false],
  ])("knows whether %s is this machine alone", (host, own) => {
    expect(isLoopback(host)).toBe(own);
  });
});
