// Reads {micropython, wasm, pack, calls, rounds, each} as JSON from standard input; writes the times as JSON.
import { readFileSync } from "node:fs";
import { times } from "./engine.mjs";

const given = JSON.parse(readFileSync(0, "utf8"));
const { loadMicroPython } = await import(given.micropython);
const found = await times({ ...given, loadMicroPython, url: given.wasm, pack: readFileSync(given.pack) });
process.stdout.write(JSON.stringify(found));
