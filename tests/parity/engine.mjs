// The core on MicroPython, from the pack that ships: the same few lines for Node and for a browser's worker.

/** A fresh engine with the pack's files under /lib. */
export async function boot(loadMicroPython, url, pack) {
  const engine = await loadMicroPython({ url, heapsize: 16 * 1024 * 1024, linebuffer: true });
  const end = pack.indexOf(10);
  const { files } = JSON.parse(new TextDecoder().decode(pack.subarray(0, end)));
  let at = end + 1;
  for (const [name, length] of files) {
    const path = `/lib/${name}`;
    for (let slash = path.indexOf("/", 5); slash > 0; slash = path.indexOf("/", slash + 1)) {
      const folder = path.slice(0, slash);
      if (!engine.FS.analyzePath(folder).exists) engine.FS.mkdir(folder);
    }
    engine.FS.writeFile(path, pack.subarray(at, at + length));
    at += length;
  }
  return engine;
}

/** The answers, as JSON text, to one session's calls ([name, JSON text]), from a fresh engine. */
export async function session(loadMicroPython, url, pack, calls) {
  const engine = await boot(loadMicroPython, url, pack);
  const { call } = engine.pyimport("vesselside.core.bridge");
  return calls.map(([name, args]) => call(name, args));
}

/** What each module says when imported alone: "" or its error. */
export async function imports(loadMicroPython, url, pack, modules) {
  const said = [];
  for (const module of modules) {
    const engine = await boot(loadMicroPython, url, pack);
    try {
      engine.runPython(`import ${module}`);
      said.push("");
    } catch (error) {
      said.push(String(error.message ?? error));
    }
  }
  return said;
}
