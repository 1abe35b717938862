// Times calls of the core on MicroPython, under Node and in a page alike.

async function booted({ loadMicroPython, url, pack, heap }) {
  const engine = await loadMicroPython({ url, heapsize: heap });
  const end = pack.indexOf("\n".charCodeAt(0));
  let at = end + 1;
  for (const [name, length] of JSON.parse(new TextDecoder().decode(pack.subarray(0, end))).files) {
    engine.FS.mkdirTree(`/lib/${name}`.replace(/\/[^/]*$/, ""));
    engine.FS.writeFile(`/lib/${name}`, pack.subarray(at, at + length));
    at += length;
  }
  return engine.pyimport("vesselside.core.bridge").call;
}

function timed(times, work) {
  const start = performance.now();
  for (let n = 0; n < times; n += 1) work();
  return (performance.now() - start) / times;
}

/** Milliseconds a call, `rounds` times for each of the calls ([name, JSON text]), each time the mean of `each` calls. */
async function repeated(call, { calls, rounds, each }) {
  return calls.map(([name, args]) => {
    call(name, args);
    return Array.from({ length: rounds }, () => timed(each, () => call(name, args)));
  });
}

/** Milliseconds of each call of a series done in order, `rounds` times over; [rounds of the first, of the second, …]. */
async function inOrder(call, { calls, rounds }) {
  const rows = Array.from({ length: rounds }, () => calls.map(([name, args]) => timed(1, () => call(name, args))));
  return calls.map((_, at) => rows.map((row) => row[at]));
}

export async function times(given) {
  const call = await booted(given);
  return given.each ? repeated(call, given) : inOrder(call, given);
}
