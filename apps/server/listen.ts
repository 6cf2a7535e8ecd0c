/** Gives a server its address: loopback unless told otherwise, and another port when the usual one is taken. */
import type { AddressInfo } from "node:net";
import type { FastifyInstance } from "fastify";

/** Tried first when no port is asked for. */
export const usualPort = 8420;

/** @param port undefined: the usual one, or any free one when that is taken @returns the address to open */
export async function listen(server: FastifyInstance, host: string, port?: number): Promise<string> {
  try {
    await server.listen({ host, port: port ?? usualPort });
  } catch (error) {
    if (port !== undefined || (error as NodeJS.ErrnoException).code !== "EADDRINUSE") throw error;
    await server.listen({ host, port: 0 });
  }
  const { port: taken } = server.server.address() as AddressInfo;
  return `http://${host.includes(":") ? `[${host}]` : host}:${taken}/`;
}

export function isLoopback(host: string): boolean {
  return host === "localhost" || host === "::1" || /^127\.\d+\.\d+\.\d+$/.test(host);
}
