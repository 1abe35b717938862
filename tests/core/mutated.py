"""Real runs of the procedures that ship, with one or a few of their records spoilt as no phone of ours would."""

import copy
import random
from functools import cache
from typing import Any

from tests.core.builder import administration
from tests.library.test_walk import LIBRARY, Hand, asked_of, readings_of

Event = dict[str, Any]
ODD = [
    "",
    " ",
    "²",
    "१२",
    "\u202e1.2",
    "é" * 300,
    "x" * 4001,
    "1e9",
    "-0",
    "9" * 24,
    "∞",
    "null",
    "\ud7ff",
    "💧",
]
WRONG: list[Any] = [
    None, True, False, 0, -1, 2**53 - 1, [], [None], ["x"], {}, {"a": None}, {"calculation": None, "inputs": None},
    {"calculation": "strike-temperature", "inputs": {"malt_kg": ["1"]}}, {"a": {"b": [{}]}},
    "2026-11-25T05:40:00.000Z", "9999-12-31T23:59:59.999Z", "0000-00-00T00:00:00.000Z", "run.opened", "stop", "fv1",
    *ODD,
]  # fmt: skip
ENVELOPE = ("time", "hlc", "seen", "person", "source", "type", "recordedtime", "sequence")


@cache
def real_run(procedure: str) -> tuple[Event, ...]:
    """The records of a careful person's run from its opening to its end."""
    held = next(row for row in LIBRARY.procedures if row["id"] == procedure)
    walker = Hand(held, LIBRARY.cautions, inputs_given=asked_of(held), readings=readings_of(held))
    walker.finish()
    return tuple(walker.events)


def spoilt(procedure: str, dice: random.Random, most: int = 3) -> list[Event]:
    """Such a run with one to `most` values replaced, dropped or added, records repeated, dropped or moved."""
    events = [copy.deepcopy(event) for event in real_run(procedure)]
    for _ in range(dice.randint(1, most)):
        event = dice.choice(events)
        match dice.randrange(8):
            case 0:
                event[dice.choice(ENVELOPE)] = dice.choice([text for text in WRONG if isinstance(text, str)])
            case 1 if event["data"]:
                del event["data"][dice.choice(sorted(event["data"]))]
            case 2:
                event["data"][dice.choice(["unit", "instrument", "from", "step", "over", "odd"])] = (
                    dice.choice(WRONG)
                )
            case 3:
                event["type"] = dice.choice(events)["type"]
            case 4:
                events.append(
                    {**copy.deepcopy(event), "id": f"again-{dice.randrange(9999)}", "hlc": events[-1]["hlc"]}
                )
            case 5 if len(events) > 2:
                events.remove(event)
            case _:
                if event["data"]:
                    event["data"][dice.choice(sorted(event["data"]))] = dice.choice(WRONG)
    return events


def calls(procedure: str, events: list[Event]) -> list[tuple[str, dict[str, Any]]]:
    """Everything a device asks of the core about such a run, the summary's readers left to whoever has the summary."""
    held = next(row for row in LIBRARY.procedures if row["id"] == procedure)
    now = 1_790_100_000_000
    run = {"run": "walk", "procedure": held, "admin": administration(), "events": events}
    card = {"id": "fv1", "name": "FV 1", "kind": "fermenter", "place": "Tank room"}
    row = {name: run[name] for name in ("run", "procedure", "admin", "events")}
    place = {"gyle": "g1", "vessels": [card], "elsewhere": []}
    found: list[tuple[str, dict[str, Any]]] = [
        ("open", {**run, "cautions": [{"id": c["id"], "version": c["version"]} for c in LIBRARY.cautions]}),
        ("line", {"run": "walk"}),
        ("view", {"run": "walk"}),
        ("gyle", {"runs": [row], "place": place, "before": []}),
        ("takers", {"run": "walk", "calculation": "attenuation", "result": "apparent_pct"}),
    ]
    for step in held["steps"][:6]:
        look = {
            "run": "walk",
            "step": step["id"],
            "person": {"id": "bay", "role": "brewer"},
            "met": [],
            "now": now,
        }
        found.append(("look", look))
    found.extend(("check", {"event": event}) for event in events[:3])
    return found


def board_of(summary: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    """What lists make of the run's line: the plant, its vessels' lives, the instruments, what stops a step."""
    now = 1_790_100_000_000
    cards = [
        {"id": "fv1", "name": "FV 1", "kind": "fermenter", "place": "Tank room"},
        {"id": "bbt1", "name": "BBT 1", "kind": "bright", "place": "Tank room"},
    ]
    return [
        ("load", {"vessels": cards, "runs": [summary], "settings": {}, "now": now}),
        ("instruments", {"now": now}),
    ]
