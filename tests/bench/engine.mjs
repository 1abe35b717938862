// Times calls of the core on MicroPython, under Node and in a page alike.

/** Milliseconds a call, `rounds` times for each of the calls ([name, JSON text]), each time the mean of `each` calls. */
export async function times({ loadMicroPython, url, pack, calls, rounds, each }) {
  const engine = await loadMicroPython({ url, heapsize: 16 * 1024 * 1024 }); // as pwa/src/engine boots it
  const end = pack.indexOf("\n".charCodeAt(0));
  let at = end + 1;
  for (const [name, length] of JSON.parse(new TextDecoder().decode(pack.subarray(0, end))).files) {
    engine.FS.mkdirTree(`/lib/${name}`.replace(/\/[^/]*$/, ""));
    engine.FS.writeFile(`/lib/${name}`, pack.subarray(at, at + length));
    at += length;
  }
  const { call } = engine.pyimport("vesselside.core.bridge");
  return calls.map(([name, args]) => {
    call(name, args);
    return Array.from({ length: rounds }, () => {
      const start = performance.now();
      for (let n = 0; n < each; n += 1) call(name, args);
      return (performance.now() - start) / each;
    });
  });
}
