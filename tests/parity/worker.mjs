// The browser's side: a module worker that runs the sessions it is sent.
import { session } from "./engine.mjs";
import { loadMicroPython } from "./micropython.mjs";

self.onmessage = async ({ data }) => {
  try {
    const pack = new Uint8Array(await (await fetch("./core.pack")).arrayBuffer());
    const answers = [];
    for (const calls of data) answers.push(await session(loadMicroPython, "./micropython.wasm", pack, calls));
    self.postMessage({ answers });
  } catch (error) {
    self.postMessage({ error: String(error.stack ?? error) });
  }
};
