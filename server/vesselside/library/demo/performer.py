"""Walks a run as a crew would, through the core's own door, so that every verdict in the demo is real."""

import json
from collections.abc import Iterator, Mapping
from typing import Any

from vesselside.core import bridge
from vesselside.core.run.procedure import footing

from .device import Device, Event

Person = dict[str, str]
MINUTE = 60_000


class Performance:
    """One run being performed: a person with a phone, a procedure, and what they will read."""

    def __init__(
        self, *, run: str, procedure: dict[str, Any], cautions: list[dict[str, Any]], admin: list[Event],
        device: Device, person: Person, at: int, opening: Mapping[str, Any], readings: Mapping[str, Any],
        plant: Mapping[str, Any], pace: float = 1,
    ) -> None:  # fmt: skip
        self.run, self.procedure, self.readings = run, procedure, readings
        self.device, self.person, self.at = device, person, at
        self.pace = pace
        """How long each thing takes, as a share of the usual: a hold lasts what it lasts."""
        self.events: list[Event] = []
        self.cautions, self.admin = cautions, admin
        self._open(plant)
        self.act("open", procedure=procedure, **opening)

    def _open(self, plant: Mapping[str, Any]) -> None:
        _call("load", **plant, now=self.at)
        held = {"procedure": self.procedure, "cautions": self.cautions, "admin": self.admin}
        _call("open", run=self.run, events=self.events, **held)

    def resume(self, at: int, admin: list[Event], plant: Mapping[str, Any]) -> None:
        """Take the run up again at `at` [ms], with what the office said meanwhile."""
        self.at, self.admin = at, [*self.admin, *admin]
        self._open(plant)

    def act(
        self, action: str, *, by: Person | None = None, device: Device | None = None, **given: Any
    ) -> Event:
        """One action now: prepared by the core, signed by the phone, folded."""
        person = by or self.person
        prepared = _call("prepare", run=self.run, action=action, person=person, now=self.at, **given)
        event = (device or self.device).event(
            prepared["type"], self.run, person["id"], prepared["data"], self.at
        )
        _call("taken", run=self.run, events=[event], now=self.at)
        self.events.append(event)
        return event

    def hear(self, admin: list[Event]) -> None:
        """Take in what the office says meanwhile."""
        _call("taken", run=self.run, events=[], admin=admin, now=self.at)

    def wait(self, minutes: float) -> None:
        """Let time pass."""
        self.at += int(minutes * MINUTE)

    def steps_from(self, first: str | None) -> Iterator[dict[str, Any]]:
        """The steps in order, all or those from `first` on."""
        names = [step["id"] for step in self.procedure["steps"]]
        yield from self.procedure["steps"][names.index(first) if first else 0 :]

    def begin(self, step: dict[str, Any], *, by: Person | None = None) -> None:
        """Meet the step's cautions."""
        for caution in step.get("cautions", []):
            self.wait(0.2 * self.pace)
            self.act("caution", by=by, step=step["id"], caution=caution)

    def do(self, step: dict[str, Any]) -> Event:
        """Do a whole step: cautions, entries, hold, tick."""
        self.begin(step)
        if "hold" in step:
            self._hold(step)
        else:
            self.fill_in(step)
        self.wait(0.5 * self.pace)
        return self.act("done", step=step["id"])

    def fill_in(self, step: dict[str, Any]) -> None:
        """Make every entry of the step."""
        entries = step.get("entries", [])
        for entry in entries:
            if not (entry.get("series") and "works" in entry):
                self.enter(step, entry)

    def _hold(self, step: dict[str, Any]) -> None:
        """Hold the step's time, its series read over that time and its other entries at the end."""
        entries = step.get("entries", [])
        held = self.act("hold-start", step=step["id"])
        series = [
            (entry, typed) for entry in entries if entry.get("series") for typed in self._typed(step, entry)
        ]
        minutes = held["data"]["seconds"] / 60
        for at, (entry, typed) in enumerate(series):
            self.act("enter", step=step["id"], field=entry["id"], typed=typed, how="keyed")
            self.wait(minutes / max(1, len(series) - 1) if at < len(series) - 1 else 0)
        if len(series) < 2:
            self.wait(minutes)
        self.wait(0.2)
        self.act("hold-end", step=step["id"])
        for entry in entries:
            if not entry.get("series"):
                self.enter(step, entry)

    def enter(self, step: dict[str, Any], entry: dict[str, Any]) -> None:
        """Enter what the sum proposes, what the script says, or the first answer on target."""
        self.wait(0.7 * self.pace)
        if "works" in entry and not entry.get("optional"):
            self._work(step, entry)
            return
        for typed in self._typed(step, entry):
            self.key(step, entry, typed, "keyed")
            for other in step["entries"]:
                if entry.get("series") and other.get("series") and _last_fed(step, other) == entry["id"]:
                    self._work(step, other)
            self.wait(0.3 * self.pace)

    def _work(self, step: dict[str, Any], entry: dict[str, Any]) -> None:
        proposed = _call("work", run=self.run, step=step["id"], field=entry["id"])["proposed"]
        self.key(step, entry, proposed, "worked")

    def _typed(self, step: dict[str, Any], entry: dict[str, Any]) -> list[Any]:
        """What will be keyed for an entry; nothing for an optional one the script does not name.

        A reading is its text, or `{typed, with}` where it is made with another instrument than the one proposed.
        """
        given = self.readings.get(f"{step['id']}.{entry['id']}")
        if given is None and entry["kind"] == "choice":
            given = next(option["id"] for option in entry["options"] if option["verdict"] == "target")
        if given is None:
            if entry.get("optional"):
                return []
            raise LookupError(
                f"The demo says no reading for {self.procedure['id']}: {step['id']}.{entry['id']}"
            )
        return list(given) if isinstance(given, list) else [given]

    def key(self, step: dict[str, Any], entry: dict[str, Any], typed: Any, how: str) -> Event:
        """Make one entry, with the instrument that is proposed or the one it says."""
        more = {"instrument": entry["instrument"]} if "instrument" in entry else {}
        if isinstance(typed, Mapping):
            typed, more["instrument"] = typed["typed"], typed["with"]
        return self.act("enter", step=step["id"], field=entry["id"], typed=typed, how=how, **more)

    def summary(self) -> dict[str, Any]:
        """The run's line of the register, as folded so far."""
        line: dict[str, Any] = _call("line", run=self.run)
        return line


def _last_fed(step: dict[str, Any], entry: dict[str, Any]) -> str | None:
    """Of the series of a step that feed an entry's sum, the one that is keyed last: then the sum can be worked."""
    fed = footing(entry["works"]["inputs"]) if entry.get("series") and "works" in entry else []
    keyed = [row["id"] for row in step["entries"] if row.get("series") and f"{step['id']}.{row['id']}" in fed]
    return keyed[-1] if keyed else None


def _call(name: str, **given: Any) -> Any:
    answer = json.loads(bridge.call(name, json.dumps(given)))
    if "error" in answer:
        raise RuntimeError(f"The demo cannot be written: {name} {given.get('action', '')}: {answer['error']}")
    return answer["ok"]
