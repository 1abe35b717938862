"""A core that ends under what a test names, and a phone's storage put otherwise: for what must outlive both."""

import json

from tests.screens.screen import Screens

# What the page asks of its core passes through `postMessage`; a question that holds one of the texts ends the worker.
_ENDING = """() => {
    const Real = window.Worker;
    window.cores = 0;
    window.Worker = class extends Real {
        constructor(...given) { super(...given); window.cores += 1; }
        postMessage(asked, ...rest) {
            const texts = JSON.parse(localStorage.getItem("ends-at") ?? "[]");
            if (!texts.some((all) => all.every((text) => JSON.stringify(asked).includes(text))))
                return super.postMessage(asked, ...rest);
            this.terminate();
            setTimeout(() => this.dispatchEvent(new ErrorEvent("error", { message: "the core ended" })));
        }
    };
}"""

_CHANGE = """([store, key]) => new Promise((done, failed) => {
    const opening = indexedDB.open("vesselside");
    opening.onerror = failed;
    opening.onsuccess = () => {
        const tx = opening.result.transaction(store, "readwrite");
        const asked = tx.objectStore(store).get(key);
        asked.onsuccess = () => {
            const next = (BY)(asked.result);
            next === undefined ? tx.objectStore(store).delete(key) : tx.objectStore(store).put(next, key);
        };
        tx.oncomplete = () => { opening.result.close(); done(); };
    };
})"""


def watch_cores(one: Screens) -> None:
    """From the next load on, count the workers the page starts, and end them where `ends_at` says."""
    assert one.context
    one.context.add_init_script(f"({_ENDING})()")
    one.reload()


def ends_at(one: Screens, *questions: list[str]) -> None:
    """From now on the core ends under a question in which all texts of one of the lists stand."""
    one.page.evaluate("(texts) => localStorage.setItem('ends-at', texts)", json.dumps(list(questions)))


def cores(one: Screens) -> int:
    """How many workers this page has started."""
    return one.page.evaluate("() => window.cores")


def change(one: Screens, store: str, key: str, by: str) -> None:
    """Put what the phone keeps otherwise, by a JavaScript function of it; `undefined` removes it."""
    one.page.evaluate(_CHANGE.replace("BY", by), [store, key])
