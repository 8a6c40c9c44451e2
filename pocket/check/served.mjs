// A folder served to this machine alone, until its network is cut.
import { readFileSync } from "node:fs";
import { createServer } from "node:http";
import { extname, join } from "node:path";

const KINDS = { ".html": "text/html", ".js": "text/javascript", ".svg": "image/svg+xml", ".webmanifest": "application/manifest+json" };

/** Serves a folder: its address, the paths that were asked for, and what cuts it off. */
export async function served(folder) {
  const asked = [];
  const server = createServer((request, reply) => {
    const path = new URL(request.url, "http://x").pathname.replace(/\/$/, "/index.html");
    asked.push(path);
    reply.setHeader("content-type", KINDS[extname(path)] ?? "application/octet-stream");
    reply.end(readFileSync(join(folder, path)));
  });
  await new Promise((ready) => server.listen(0, "127.0.0.1", ready));
  const cut = async () => {
    server.closeAllConnections();
    await new Promise((ended) => server.close(ended));
  };
  return { address: `http://127.0.0.1:${server.address().port}/`, asked, cut };
}
