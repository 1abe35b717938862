// The core on MicroPython, from the pack that ships: the same few lines for Node and for a browser's worker.

const FORGET = "import sys\nfor name in [name for name in sys.modules if name.startswith('vesselside')]: del sys.modules[name]";

/** MicroPython with the pack's files under /lib. */
export async function boot(loadMicroPython, url, pack) {
  const engine = await loadMicroPython({ url, heapsize: 32 * 1024 * 1024 });
  const end = pack.indexOf(10);
  const { files } = JSON.parse(new TextDecoder().decode(pack.subarray(0, end)));
  let at = end + 1;
  for (const [name, length] of files) {
    const path = `/lib/${name}`;
    for (let slash = path.indexOf("/", 1); slash > 0; slash = path.indexOf("/", slash + 1)) {
      const folder = path.slice(0, slash);
      if (!engine.FS.analyzePath(folder).exists) engine.FS.mkdir(folder);
    }
    engine.FS.writeFile(path, pack.subarray(at, at + length));
    at += length;
  }
  return engine;
}

/** The answers, as JSON text, to one session's calls ([name, JSON text]), from a core imported afresh. */
export function session(engine, calls) {
  engine.runPython(FORGET);
  const { call } = engine.pyimport("vesselside.core.bridge");
  return calls.map(([name, args]) => call(name, args));
}

/** What a module says when it is imported alone: "" or its error. */
export function imported(engine, module) {
  engine.runPython(FORGET);
  try {
    engine.runPython(`import ${module}`);
    return "";
  } catch (error) {
    return String(error.message);
  }
}
