"""A run with a text and a photo that must go, and where in all that a server keeps something still stands."""

import zlib
from dataclasses import dataclass
from typing import Any

from sqlalchemy import text

from tests.api.outside import Event, Phone, new_run
from tests.api.test_photos import name_of, picture, put
from tests.living import PINS, Living
from vesselside.store.base.db import db

WORD = "Quillfeather"
"""A word that stands in what must go, and nowhere else."""
NOTE = f"{WORD} of the day shift slipped"
REASON = "names a person's injury"


@dataclass
class Told:
    """A phone, its run, the records of it, the photo, and the head the phone keeps."""

    living: Living
    phone: Any
    run: str
    events: list[Event]
    photo: bytes
    head: dict[str, Any]

    @property
    def note(self) -> Event:
        """The record that holds the word."""
        return self.events[1]

    @property
    def pictured(self) -> Event:
        """The record that names the photo."""
        return self.events[2]

    def redact(self, event: Event, *more: str, reason: str = REASON) -> None:
        """Take out of a record what must go, by the command."""
        done = self.living.command("redact", event["id"], reason, *more)
        assert done.returncode == 0, done.stderr

    def run_now(self) -> dict[str, Any]:
        """The run as the office answers it."""
        answer: dict[str, Any] = self.phone.get(f"/api/runs/{self.run}").json()
        return answer


def told(living: Living, phone: Any = None) -> Told:
    """The run, with the server started and all of it pushed."""
    phone, run, photo = phone or Phone(living.url, living.code()), new_run(), picture()
    phone.sign_in("bern", PINS["bern"])
    claim = {"person": "bern", "how": "pin"}
    phone.push([phone.make(run, "person.signed-in", claim, subject="/admin")])
    procedure = phone.get("/api/reference").json()["procedures"][0]
    said = {"procedure": procedure["id"], "version": procedure["version"], "sha256": procedure["sha256"]}
    added = {"sha256": name_of(photo), "mime": "image/jpeg", "bytes": len(photo)}
    events = [
        phone.make(run, "run.opened", {**said, "vessel": "fv1", "inputs": {}}),
        phone.make(run, data={"text": NOTE}),
        phone.make(run, "photo.added", added),
        phone.make(run, "deviation.raised", {"text": f"see what {WORD} did"}),
        phone.make(run, data={"text": "went on"}),
    ]
    phone.push(events)
    assert put(phone, photo).status_code == 201
    head = phone.get("/api/log/head").json()
    return Told(living, phone, run, events, photo, head)


def standing(living: Living, word: str = WORD, *, files: bool = True) -> list[str]:
    """Where a word stands: in which column of which table, and in which file."""
    found, sought = [], word.encode()
    with living.inside():
        for table in db.metadata.sorted_tables:
            for row in db.session.execute(table.select()).mappings():
                found += [f"{table.name}.{name}" for name, value in row.items() if sought in _bytes(value)]
        db.session.rollback()
    for file in living.folder.rglob("*") if files else ():
        if file.is_file() and file.suffix != ".zip" and sought in file.read_bytes():
            found.append(file.name)
    return sorted(set(found))


def _bytes(value: object) -> bytes:
    if isinstance(value, bytes | memoryview):
        raw = bytes(value)
        try:
            return raw + zlib.decompress(raw)
        except zlib.error:
            return raw
    return str(value).encode()


def below_text(living: Living, statement: str, **values: object) -> None:
    """Run a statement as any program with the database in hand may, the triggers in place."""
    with living.inside():
        db.session.execute(text(statement), values)
        db.session.commit()
