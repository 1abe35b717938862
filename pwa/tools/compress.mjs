import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { extname, join } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";

const TEXT = new Set([".css", ".html", ".js", ".json", ".map", ".svg", ".webmanifest"]);
const WORTHWHILE = new Set([...TEXT, ".pack", ".wasm", ".ico"]);

/** Every file below a folder. @param {string} folder @returns {string[]} */
export function filesBelow(folder) {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
}

/** Brotli at its best setting. @param {string} path */
export function brotli(path) {
  const bytes = readFileSync(path);
  const mode = TEXT.has(extname(path)) ? constants.BROTLI_MODE_TEXT : constants.BROTLI_MODE_GENERIC;
  return brotliCompressSync(bytes, {
    params: {
      [constants.BROTLI_PARAM_QUALITY]: constants.BROTLI_MAX_QUALITY,
      [constants.BROTLI_PARAM_MODE]: mode,
      [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length,
    },
  });
}

/** Puts a .br and a .gz beside each file that compresses, so the server never does. @param {string} folder */
export function compress(folder) {
  for (const path of filesBelow(folder)) {
    if (!WORTHWHILE.has(extname(path))) continue;
    writeFileSync(`${path}.br`, brotli(path));
    writeFileSync(`${path}.gz`, gzipSync(readFileSync(path), { level: 9 }));
  }
}
