"""Folding one run from the log, and holding on to it, so that what comes next is folded alone."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from vesselside.core.door import views
from vesselside.core.run.authority import Administration
from vesselside.core.run.events import SIGN_INS
from vesselside.core.run.ledger import Run as CoreRun
from vesselside.store.base import statements
from vesselside.store.base.instants import sequence_text, text_of
from vesselside.store.fold import cleanings, received, reviewed
from vesselside.store.log import signing
from vesselside.store.log.writer import SERVER

if TYPE_CHECKING:
    from vesselside.core.shapes import Finding

State = Any
MOST_HELD = 64
"""How many folded runs a folding thread holds on to."""


@dataclass
class Folded:
    """A run as its events say: the core's state, and what the server keeps beside it."""

    state: State
    digest: str
    last: int
    recorded: dict[str, int]
    review: State
    received: "list[Finding]"
    cleaning: State | None


def placed(body: bytes, sequence: int, recorded: int) -> dict[str, Any]:
    """A logged event with the two attributes that the server gave it."""
    return {**signing.loaded(body), "sequence": sequence_text(sequence), "recordedtime": text_of(recorded)}


def procedure_of(brewery: str, opened: dict[str, Any] | None) -> dict[str, Any] | None:
    """The procedure version a `run.opened` names, or None when it was never published here."""
    data = opened["data"] if opened else {}
    name, version = data.get("procedure"), data.get("version")
    if not isinstance(name, str) or not isinstance(version, int):
        return None
    row = statements.execute(
        statements.PROCEDURE, {"brewery": brewery, "id": name, "version": version}
    ).first()
    return {**row.content, "sha256": row.sha256} if row else None


def fold(brewery: str, run: str, known: Administration) -> Folded:
    """Fold one run from the log, each event with the sequence and the time of its receipt, as phones get it."""
    return Held().fold(brewery, run, known)


@dataclass
class _Open:
    """A run as it was folded last, and what of its records the server keeps beside it, by event."""

    run: CoreRun
    known: Administration
    said: list[dict[str, Any]]
    recorded: dict[str, int] = field(default_factory=dict)
    hashes: dict[str, str] = field(default_factory=dict)
    people: set[tuple[str, str]] = field(default_factory=set)
    received: "list[Finding]" = field(default_factory=list)
    last: int = 0


class Held:
    """Runs as they were folded last, the newest used: what came since is folded alone. For one thread."""

    def __init__(self) -> None:
        self._open: dict[tuple[str, str], _Open] = {}

    def held(self, brewery: str, run: str) -> CoreRun | None:
        """The run as it is held, None where it is not."""
        found = self._open.get((brewery, run))
        return found.run if found else None

    def fold(
        self, brewery: str, run: str, known: Administration, said: list[dict[str, Any]] | None = None
    ) -> Folded:
        """Fold what came of a run; all of it where an opening came, or what was administered may bear on it.

        `said` are the events that `known` was made of.
        """
        held = self._open.pop((brewery, run), None)
        rows, events = _read(brewery, run, held.last if held else 0)
        goes_on = held is not None and (held.known is known or _goes_on(held, said or []))
        if held is None or not goes_on or any(event["type"] == "run.opened" for event in events):
            if held:
                rows, events = _read(brewery, run, 0)
            openings = sorted((e["hlc"], e["id"], e) for e in events if e["type"] == "run.opened")
            procedure: Any = procedure_of(brewery, openings[0][2] if openings else None)
            held = _Open(CoreRun(run, procedure, known), known, said or [])
        held.run.administration, held.known, held.said = known, known, said or []
        held.people |= {(event["person"], event["source"]) for event in events}
        held.run.add(events)
        held.recorded |= {event["id"]: row.recorded for event, row in zip(events, rows, strict=True)}
        held.hashes |= {event["id"]: row.hash for event, row in zip(events, rows, strict=True)}
        for event, row in zip(events, rows, strict=True):
            held.received += received.found(event["id"], event["time"], row.recorded, row.clock_offset)
        held.last = rows[-1].sequence if rows else held.last
        state: State = views.view(held.run)
        digest = signing.digest_of(held.hashes.values())
        # only now: what raised on the way is not held on to
        self._open[(brewery, run)] = held
        while len(self._open) > MOST_HELD:
            del self._open[next(iter(self._open))]
        review = reviewed.told(state["review"], held.hashes, held.recorded)
        cleaning = cleanings.of(held.run, state, held.recorded)
        recorded, noted = dict(held.recorded), list(held.received)
        return Folded(state, digest, held.last, recorded, review, noted, cleaning)


_BESIDE = ("code.made", "device.enrolled", "sign-in.refused", "announcement.put-away")
"""Administration that no run is judged by."""


def _goes_on(held: _Open, said: list[dict[str, Any]]) -> bool:
    """Whether what was said since a run was folded leaves all of it as it is: others' sign-ins, mostly."""
    before = len(held.said)
    if not held.said or len(said) < before or said[before - 1]["id"] != held.said[-1]["id"]:
        return False
    return all(_is_beside(event, held.people) for event in said[before:])


def _is_beside(event: dict[str, Any], people: set[tuple[str, str]]) -> bool:
    if event["type"] not in SIGN_INS:
        return event["type"] in _BESIDE
    device = event["source"]
    if device == SERVER:
        device = f"/devices/{event['data'].get('device')}"
    return (event["data"].get("person"), device) not in people


def _read(brewery: str, run: str, after: int) -> tuple[Sequence[Any], list[dict[str, Any]]]:
    rows = statements.execute(statements.RUN_EVENTS, {"brewery": brewery, "run": run, "after": after}).all()
    return rows, [placed(row.body, row.sequence, row.recorded) for row in rows]
