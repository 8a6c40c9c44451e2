// Runs the program off the main thread. Told the compiled program once, then one message at a time.
"use strict";

let program;

onmessage = async ({ data }) => {
  try {
    if (data instanceof WebAssembly.Module) {
      program = (await WebAssembly.instantiate(data)).exports;
      return;
    }
    postMessage({ answer: answer(JSON.stringify(data)) });
  } catch (error) {
    postMessage({ failed: String(error) });
  }
};

function answer(message) {
  const bytes = new TextEncoder().encode(message);
  const at = program.room(bytes.length);
  new Uint8Array(program.memory.buffer, at, bytes.length).set(bytes);
  const length = program.answer();
  return JSON.parse(new TextDecoder().decode(new Uint8Array(program.memory.buffer, program.room_at(), length)));
}
