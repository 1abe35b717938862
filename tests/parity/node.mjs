// The core on MicroPython under Node. Reads {micropython, wasm, pack, sessions, modules} as JSON from standard input, and
// writes {answers, imports}: the answers to each session, and what each module says when it is imported alone.
import { readFileSync } from "node:fs";

// Asking through plain names, never through a proxy: a proxy would keep its whole core alive until JavaScript collects it.
const FORGET = `
import sys
bridge = None
for name in list(sys.modules):
    if name.startswith("vesselside"):
        del sys.modules[name]
`;

const { micropython, wasm, pack, sessions, modules } = JSON.parse(readFileSync(0, "utf8"));
const { loadMicroPython } = await import(micropython);
const engine = await loadMicroPython({ url: wasm, heapsize: 2 * 1024 * 1024 });

const bytes = readFileSync(pack);
const end = bytes.indexOf("\n");
let at = end + 1;
for (const [name, length] of JSON.parse(bytes.subarray(0, end).toString()).files) {
  engine.FS.mkdirTree(`/lib/${name}`.replace(/\/[^/]*$/, ""));
  engine.FS.writeFile(`/lib/${name}`, bytes.subarray(at, at + length));
  at += length;
}

/** The answers, as JSON text, to one session's calls ([name, JSON text]), from a core imported afresh. */
function session(calls) {
  engine.runPython(FORGET);
  engine.runPython("from vesselside.core import bridge");
  return calls.map(([name, args]) => {
    engine.globals.set("asked", name);
    engine.globals.set("given", args);
    engine.runPython("answer = bridge.call(asked, given)");
    return engine.globals.get("answer");
  });
}

/** What a module says when it is imported alone: "" or its error. */
function imported(module) {
  engine.runPython(FORGET);
  try {
    engine.runPython(`import ${module}`);
    return "";
  } catch (error) {
    return String(error.message);
  }
}

process.stdout.write(JSON.stringify({ answers: sessions.map(session), imports: modules.map(imported) }));
