"""What a phone keeps, read from outside the app: straight from its IndexedDB."""

import hashlib
import json

import rfc8785

_READ = """async run => {
  const opening = indexedDB.open('vesselside');
  const db = await new Promise((done, failed) => {
    opening.onsuccess = () => done(opening.result);
    opening.onerror = () => failed(opening.error);
  });
  const all = store => new Promise((done, failed) => {
    const asked = db.transaction(store).objectStore(store).getAll();
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
  const one = (store, key) => new Promise((done, failed) => {
    const asked = db.transaction(store).objectStore(store).get(key);
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
  const events = (await all('events')).map(row => row.event).filter(event => event.subject === '/runs/' + run);
  const view = await one('kept', 'view:' + run);
  db.close();
  return JSON.stringify({events, view});
}"""


_SETTINGS = """async () => {
  const opening = indexedDB.open('vesselside');
  const db = await new Promise((done, failed) => {
    opening.onsuccess = () => done(opening.result);
    opening.onerror = () => failed(opening.error);
  });
  const asked = db.transaction('events').objectStore('events').getAll();
  const rows = await new Promise((done, failed) => {
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
  db.close();
  return rows.filter(row => row.event.type === 'setting.changed').map(row => row.event.data.name);
}"""


def knows(phone, settings):
    """Wait until the phone holds these site settings: a phone just enrolled has nothing to send, and much to hear."""
    for _ in range(300):
        if lacking := set(settings) - set(phone.page.evaluate(_SETTINGS)):
            phone.page.wait_for_timeout(200)
        else:
            return
    raise AssertionError(f"the phone never heard of {lacking}")


def held(phone, run):
    """`(events, view)` of a run as the phone holds them."""
    answer = json.loads(phone.page.evaluate(_READ, run))
    return answer["events"], answer.get("view")


def digest(events):
    """The run's digest, worked out here: SHA-256 over its events' hashes (hex), sorted and joined."""
    hashes = []
    for event in events:
        bare = {name: value for name, value in event.items() if name not in ("sequence", "recordedtime")}
        hashes.append(hashlib.sha256(rfc8785.dumps(bare)).hexdigest())
    return hashlib.sha256("".join(sorted(hashes)).encode()).hexdigest()


def state(view):
    """What two devices must agree on: everything in the view but the server's own additions."""
    return {
        "status": view["status"],
        "steps": {key: _step(row) for key, row in view["steps"].items()},
        "deviations": view["deviations"],
        "strikes": view["strikes"],
        "proofs": view["proofs"],
    }


def _step(row):
    entries = {
        field: {name: value[name] for name in ("status", "value", "verdict", "events")}
        for field, value in row["entries"].items()
    }
    return {"status": row["status"], "entries": entries, "waits": row["waits"]}
