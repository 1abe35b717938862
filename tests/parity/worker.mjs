// The browser's side: a module worker that runs the sessions it is sent.
import { boot, session } from "./engine.mjs";
import { loadMicroPython } from "./micropython.mjs";

self.onmessage = async ({ data: sessions }) => {
  try {
    const pack = new Uint8Array(await (await fetch("./core.pack")).arrayBuffer());
    const engine = await boot(loadMicroPython, "./micropython.wasm", pack);
    self.postMessage({ answers: sessions.map((calls) => session(engine, calls)) });
  } catch (error) {
    self.postMessage({ error: String(error.stack ?? error) });
  }
};
