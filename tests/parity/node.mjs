// Reads {micropython, wasm, pack, sessions, modules} as JSON from standard input; writes {answers, imports}.
import { readFileSync } from "node:fs";
import { boot, imported, session } from "./engine.mjs";

const { micropython, wasm, pack, sessions, modules } = JSON.parse(readFileSync(0, "utf8"));
const { loadMicroPython } = await import(micropython);
const engine = await boot(loadMicroPython, wasm, new Uint8Array(readFileSync(pack)));
const answers = sessions.map((calls) => session(engine, calls));
const imports = modules.map((module) => imported(engine, module));
process.stdout.write(JSON.stringify({ answers, imports }));
