export { createServer, type Served } from "./create-server.ts";
export { type Fetched, fetchPage } from "./fetch-page.ts";
export { isLoopback, listen, usualPort } from "./listen.ts";
