// Firefox by its own remote protocol, Marionette: a length, a colon and JSON. Debian's speaks it too.
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, writeFileSync } from "node:fs";
import { connect } from "node:net";
import { join } from "node:path";

const PROGRAMS = [process.env.FIREFOX, "/usr/bin/firefox-esr", "/usr/bin/firefox"];

/** Firefox with a profile of its own in `folder`, or with that of another in `home`; nothing where none is installed. */
export async function firefox({ folder, home, port, preferences = {}, args = [] }) {
  const program = PROGRAMS.find((path) => path && existsSync(path));
  if (!program) return undefined;
  home ??= mkdtempSync(join(folder, "firefox-"));
  const wanted = Object.entries({ "marionette.port": port, ...preferences });
  writeFileSync(join(home, "user.js"), wanted.map(([name, value]) => `user_pref("${name}", ${JSON.stringify(value)});\n`).join(""));
  const running = spawn(program, ["--headless", "--marionette", ...args, "--profile", home, "--no-remote"], { stdio: "ignore", env: { ...process.env, HOME: home } });
  const end = () => running.kill("SIGKILL");
  try {
    const socket = await reached(() => new Promise((resolve, reject) => {
      const socket = connect(port, "127.0.0.1", () => resolve(socket));
      socket.once("error", reject);
    }));
    const ask = talk(socket);
    const { capabilities } = await ask("WebDriver:NewSession");
    return { version: capabilities.browserVersion, home, ask, end() { socket.destroy(); end(); } };
  } catch (error) {
    end();
    throw error;
  }
}

/** What asks the browser on that socket: a command's name and its parameters. */
function talk(socket) {
  const waiting = new Map();
  let [bytes, asked] = [Buffer.alloc(0), 0];
  const answered = ([, number, error, result]) => {
    const { resolve, reject } = waiting.get(number);
    waiting.delete(number);
    if (error) reject(new Error(`${error.error}: ${error.message}`));
    else resolve(result);
  };
  socket.on("data", (more) => {
    bytes = Buffer.concat([bytes, more]);
    for (let colon = bytes.indexOf(":"); colon > 0; colon = bytes.indexOf(":")) {
      const end = colon + 1 + Number(bytes.subarray(0, colon));
      if (bytes.length < end) return;
      const message = JSON.parse(bytes.subarray(colon + 1, end));
      bytes = bytes.subarray(end);
      // The greeting is no answer.
      if (Array.isArray(message)) answered(message);
    }
  });
  socket.on("close", () => waiting.forEach(({ reject }) => reject(new Error("the browser has gone"))));
  return (name, parameters = {}) => new Promise((resolve, reject) => {
    asked += 1;
    waiting.set(asked, { resolve, reject });
    const message = JSON.stringify([0, asked, name, parameters]);
    socket.write(`${Buffer.byteLength(message)}:${message}`);
  });
}

/** What comes of a try that may take some seconds to go well. */
export async function reached(attempt) {
  for (let n = 0; ; n += 1) {
    try {
      return await attempt();
    } catch (error) {
      if (n === 150) throw error;
      await new Promise((passed) => setTimeout(passed, 200));
    }
  }
}
