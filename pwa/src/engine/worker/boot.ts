import { loadMicroPython } from "@micropython/micropython-webassembly-pyscript/micropython.mjs";
import wasmUrl from "@micropython/micropython-webassembly-pyscript/micropython.wasm?url";
import packUrl from "../../../build/core.pack?url";

/** The first piece of MicroPython's heap; it grows by itself when a run needs more. */
const HEAP_BYTES = 2 * 1024 * 1024;
const LIBRARY = "/lib";
const NEWLINE = 10;

export type Bridge = (name: string, args: string) => string;

/** MicroPython with the packed core; answers the core's one door. */
export async function boot(): Promise<Bridge> {
  const quiet = (line: string): void => console.warn(line);
  const [pack, python] = await Promise.all([
    fetchPack(),
    loadMicroPython({
      url: wasmUrl,
      heapsize: HEAP_BYTES,
      stdout: quiet,
      stderr: quiet,
      linebuffer: true,
    }),
  ]);
  for (const [path, code] of unpack(pack)) {
    python.FS.mkdirTree(`${LIBRARY}/${path.slice(0, path.lastIndexOf("/"))}`);
    python.FS.writeFile(`${LIBRARY}/${path}`, code);
  }
  return python.pyimport("vesselside.core.bridge").call;
}

async function fetchPack(): Promise<Uint8Array> {
  const response = await fetch(packUrl);
  if (!response.ok) throw new Error(`the core's pack was not found (${response.status})`);
  return new Uint8Array(await response.arrayBuffer());
}

/** The pack: one line of JSON, `{"files": [[path, length], …]}`, then the files' bytes in that order. */
function* unpack(pack: Uint8Array): Generator<[path: string, code: Uint8Array]> {
  const end = pack.indexOf(NEWLINE);
  const header: unknown = JSON.parse(new TextDecoder().decode(pack.subarray(0, end)));
  if (!isHeader(header)) throw new Error("the core's pack has no list of files");
  let at = end + 1;
  for (const [path, length] of header.files) {
    yield [path, pack.subarray(at, at + length)];
    at += length;
  }
}

function isHeader(value: unknown): value is { files: [string, number][] } {
  return typeof value === "object" && value !== null && "files" in value && Array.isArray(value.files);
}
