// Runs the program off the main thread. Told the compiled program once, then one message at a time.
"use strict";

let starting;

onmessage = async ({ data }) => {
  try {
    // A message may come before the program has started.
    if (data instanceof WebAssembly.Module) starting = WebAssembly.instantiate(data);
    else postMessage({ answer: answer((await starting).exports, JSON.stringify(data)) });
  } catch (error) {
    postMessage({ failed: String(error) });
  }
};

function answer(program, message) {
  const bytes = new TextEncoder().encode(message);
  const at = program.room(bytes.length);
  new Uint8Array(program.memory.buffer, at, bytes.length).set(bytes);
  const length = program.answer();
  return JSON.parse(new TextDecoder().decode(new Uint8Array(program.memory.buffer, program.room_at(), length)));
}
