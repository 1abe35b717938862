/*
 * Watches what one press costs the page, from outside the app: how often its worker is asked, what IndexedDB is asked
 * for, and when the words on the screen stand. A press is watched from its click, or from when a held one counts,
 * until nothing has happened for QUIET ms. `given` is put in by tests/bench/tap.py.
 */
((given) => {
  const QUIET = 800;
  const owed = new Set();
  let at = null;

  const watch = (start) => {
    at = { start, busy: Math.max(start, performance.now()), over: false, calls: 0, names: [], reads: 0, writes: 0, written: [], events: 0 };
    at.words = words();
    at.seen = [];
  };
  const paid = (debt) => {
    now();
    owed.delete(debt);
  };
  // True while the press is watched: what comes after it has come to rest is another's.
  const now = () => {
    const time = performance.now();
    if (at === null || at.over) return false;
    if (owed.size === 0 && time - at.busy > QUIET) at.over = true;
    else at.busy = Math.max(at.busy, time);
    return !at.over;
  };

  // The words of the screen, without its bar and without clocks that run by themselves.
  const words = () =>
    [...document.querySelectorAll(".page, .dock")]
      .map((part) => part.textContent)
      .join("\n")
      .replaceAll(/\d+:\d\d/g, "");
  let drawn = "";
  let due = false;
  const changed = () => {
    if (due) return;
    due = true;
    requestAnimationFrame(() => {
      due = false;
      const text = words();
      if (text === drawn) return;
      drawn = text;
      const dock = document.querySelector(".dock .press") !== null;
      setTimeout(() => {
        const since = at === null ? -1 : performance.now() - at.start;
        if (since > 0 && now()) at.seen.push([since, text !== at.words, dock]);
      });
    });
  };
  document.addEventListener("DOMContentLoaded", () => {
    new MutationObserver(changed).observe(document.body, { subtree: true, childList: true, characterData: true });
  });

  addEventListener(
    "pointerdown",
    (event) => watch(event.timeStamp + (event.target.closest?.(".press.hold") ? given.held : 0)),
    true,
  );
  addEventListener(
    "click",
    (event) => {
      if (at && at.events === 0 && !event.target.closest?.(".press.hold")) watch(event.timeStamp);
    },
    true,
  );

  // Chromium slows pages and not workers: an answer is handed over when a worker `rate` times slower would have given it.
  let rate = 1;
  let idle = 0;
  let free = 0;
  const asked = new Map();
  const late = (id) => {
    const time = performance.now();
    const sent = asked.get(id) ?? time;
    asked.delete(id);
    free = Math.max(sent, free) + rate * (time - Math.max(sent, idle));
    idle = time;
    return free - time;
  };
  const { get, set } = Object.getOwnPropertyDescriptor(Worker.prototype, "onmessage");
  Object.defineProperty(Worker.prototype, "onmessage", {
    get,
    set(heard) {
      set.call(this, (event) => {
        if (!("kind" in event.data)) return heard.call(this, event); // of the journal, which waits for the disk
        const wait = late(event.data.id);
        const hand = () => {
          paid(event.data.id);
          heard.call(this, event);
        };
        if (rate === 1 || wait <= 0) hand();
        else setTimeout(hand, wait);
      });
    },
  });

  const post = Worker.prototype.postMessage;
  const known = new WeakSet();
  Worker.prototype.postMessage = function (message, ...rest) {
    if ("do" in message) return post.call(this, message, ...rest); // to the journal
    if (!known.has(this)) {
      known.add(this);
      this.addEventListener("error", () => owed.clear());
    }
    if (now()) {
      at.calls += 1;
      at.names.push(message.name);
    }
    owed.add(message.id);
    asked.set(message.id, performance.now());
    return post.call(this, message, ...rest);
  };

  const wrap = (proto, names, told) => {
    for (const name of names) {
      const made = proto[name];
      proto[name] = function (...args) {
        if (now()) told(this, name, args);
        const asked = made.apply(this, args);
        if (asked instanceof IDBRequest) {
          owed.add(asked);
          for (const end of ["success", "error"]) asked.addEventListener(end, () => paid(asked), { once: true });
        }
        return asked;
      };
    }
  };
  const read = () => (at.reads += 1);
  const write = (store, name, [value]) => {
    at.writes += 1;
    if (name === "put" || name === "add") at.written.push(value);
    if (name !== "delete" && store.name === "events") at.events += 1;
  };
  const READS = ["get", "getAll", "getKey", "getAllKeys", "count", "openCursor", "openKeyCursor"];
  wrap(IDBObjectStore.prototype, READS, read);
  wrap(IDBIndex.prototype, READS, read);
  wrap(IDBCursor.prototype, ["continue", "advance"], read);
  wrap(IDBObjectStore.prototype, ["add", "put", "delete"], write);
  wrap(IDBCursor.prototype, ["update", "delete"], () => (at.writes += 1));

  const bytes = (value) =>
    JSON.stringify(value, (_key, part) => (ArrayBuffer.isView(part) ? "-".repeat(part.byteLength) : part))?.length ?? 0;
  window.watched = {
    /** From now on the worker is `given` times slower. */
    slow: (given) => {
      rate = given;
    },
    /** Watches from now on, as if something had been pressed. */
    begin: () => watch(performance.now()),
    /** Whether the last press has come to rest. */
    rests: () => at === null || at.over || (owed.size === 0 && performance.now() - at.busy > QUIET),
    /** What the last press cost. */
    taken: () => {
      const other = at.seen.filter(([, differs]) => differs);
      return {
        calls: at.calls,
        names: at.names,
        reads: at.reads,
        writes: at.writes,
        bytes: at.written.reduce((sum, value) => sum + bytes(value), 0),
        events: at.events,
        first: other[0]?.[0] ?? null,
        last: other.at(-1)?.[0] ?? null,
        readable: at.seen.find(([, , dock]) => dock)?.[0] ?? null,
      };
    },
  };
})
