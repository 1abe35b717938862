// Reads {micropython, wasm, pack, sessions, modules} as JSON from standard input; writes {answers, imports}.
import { readFileSync } from "node:fs";
import { imports, session } from "./engine.mjs";

const { micropython, wasm, pack, sessions, modules } = JSON.parse(readFileSync(0, "utf8"));
const { loadMicroPython } = await import(micropython);
const bytes = new Uint8Array(readFileSync(pack));
const answers = [];
for (const calls of sessions) answers.push(await session(loadMicroPython, wasm, bytes, calls));
const said = await imports(loadMicroPython, wasm, bytes, modules);
process.stdout.write(JSON.stringify({ answers, imports: said }));
