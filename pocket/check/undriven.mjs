// WebKit that no WebDriver drives: driven it forgets all with its window, so that nothing is there to open again
// after it was killed. The page stands in a frame of a page of ours, from the same address, which asks here what
// to do in it (Debian: libwebkit2gtk-4, xvfb).
import { execFileSync, spawn } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, readdirSync } from "node:fs";
import { createServer } from "node:http";
import { join } from "node:path";

const LIBRARIES = "/usr/lib/x86_64-linux-gnu";
const SCREEN = "/usr/bin/xvfb-run";

/** WebKit's own browser; nothing where it is not installed. */
export function miniBrowser() {
  const named = existsSync(LIBRARIES) ? readdirSync(LIBRARIES).filter((name) => name.startsWith("webkit2gtk-4")) : [];
  return existsSync(SCREEN) ? named.map((name) => join(LIBRARIES, name, "MiniBrowser")).find(existsSync) : undefined;
}

/** Asks for one script after the other and tells what came of it. */
const FRAME = `<!doctype html><iframe id="frame" style="width: 390px; height: 844px"></iframe><script>
const frame = document.getElementById("frame");
const go = (url) => new Promise((loaded) => { frame.onload = () => loaded(true); frame.src = url; });
(async () => {
  for (;;) {
    const { number, script } = await (await fetch("/script")).json();
    let told;
    try {
      told = { value: await new Function("document", "location", "go", script)(frame.contentDocument, frame.contentWindow.location, go) };
    } catch (error) {
      told = { error: String(error) };
    }
    await fetch("/told", { method: "POST", body: JSON.stringify({ number, ...told }) });
  }
})();
</script>`;

/** WebKit with the file PAGE at an address of its own, and what it keeps in a folder within `folder`. */
export async function undriven({ folder, page }) {
  const program = miniBrowser();
  if (!program) return undefined;
  const server = await asking(page);
  const version = `${execFileSync(SCREEN, ["-a", program, "--version"], { encoding: "utf8", stdio: "pipe" }).trim().split(" ").at(-1)}, not driven`;
  return begun({ program, version, server, home: mkdtempSync(join(folder, "webkit-")) });
}

/** The browser, begun with what was kept in `home`. */
function begun({ program, version, server, home }) {
  const env = { ...process.env, HOME: home, XDG_DATA_HOME: join(home, "kept"), XDG_CACHE_HOME: join(home, "cache"), XDG_CONFIG_HOME: join(home, "config") };
  const running = spawn(SCREEN, ["-a", program, `${server.address}/frame`], { stdio: "ignore", detached: true, env });
  // With all its processes, that of the store too.
  const ended = new Promise((gone) => { running.once("close", gone); });
  const kill = () => {
    if (running.exitCode === null && running.signalCode === null) process.kill(-running.pid, "SIGKILL");
  };
  return {
    version,
    address: `${server.address}/page`,
    js: server.js,
    go: (url) => server.js(`return go(${JSON.stringify(url)})`),
    async again() {
      kill();
      await ended;
      server.forget();
      return begun({ program, version, server, home });
    },
    end() {
      kill();
      server.close();
    },
  };
}

/** A server that hands out the page and what is to be done in it. */
async function asking(page) {
  let [number, free] = [0, null];
  const [left, waiting] = [[], new Map()];
  const hand = () => {
    if (free && left.length) {
      free.end(JSON.stringify(left.shift()));
      free = null;
    }
  };
  const server = createServer((request, response) => {
    if (request.url === "/script") {
      free = response;
      return hand();
    }
    if (request.url === "/told") {
      let body = "";
      request.on("data", (more) => { body += more; });
      request.on("end", () => {
        response.end();
        const { number, value, error } = JSON.parse(body);
        const { resolve, reject } = waiting.get(number) ?? {};
        waiting.delete(number);
        if (error) reject?.(new Error(error));
        else resolve?.(value);
      });
      return undefined;
    }
    const text = request.url === "/frame" ? FRAME : request.url.startsWith("/page") ? readFileSync(page) : "";
    response.setHeader("Content-Type", "text/html; charset=utf-8");
    return response.end(text);
  });
  await new Promise((listening) => server.listen(0, "127.0.0.1", listening));
  const js = (script) => new Promise((resolve, reject) => {
    number += 1;
    waiting.set(number, { resolve, reject });
    left.push({ number, script });
    hand();
    setTimeout(() => reject(new Error(`WebKit does not answer ${script.slice(0, 80)}`)), 60_000).unref();
  });
  // A browser that was killed takes nothing more.
  const forget = () => { free = null; };
  const close = () => {
    server.close();
    server.closeAllConnections();
  };
  return { address: `http://127.0.0.1:${server.address().port}`, js, forget, close };
}
