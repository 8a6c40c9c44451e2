// The program of a page made by `pocket/build`, asked without a browser.
import { readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";

/** Starts the program of a page; what it returns answers messages as the page's worker does. */
export async function programOf(page) {
  const [, text] = /<script type="text\/plain" id="program">([^<]*)/.exec(readFileSync(page, "utf8"));
  const module = await WebAssembly.compile(gunzipSync(Buffer.from(text.trim(), "base64")));
  const asked = WebAssembly.Module.imports(module);
  if (asked.length) throw new Error(`the program asks for something outside: ${JSON.stringify(asked)}`);
  const program = (await WebAssembly.instantiate(module)).exports;
  return (message) => {
    const bytes = new TextEncoder().encode(JSON.stringify(message));
    const at = program.room(bytes.length); // which may move the memory
    new Uint8Array(program.memory.buffer, at, bytes.length).set(bytes);
    const length = program.answer();
    const answer = new Uint8Array(program.memory.buffer, program.room_at(), length);
    return JSON.parse(new TextDecoder().decode(answer));
  };
}

/** What a browser would have kept of these files. */
export function keptOf(files) {
  return JSON.stringify({ form: 1, state: { files, open: null }, revisions: 0, before: [] });
}
