"""The one door of the core: `call(name, json) -> json`. Only JSON text crosses it.

The runs a device has open stay folded here between calls, so a tap folds one event.
"""

import json

from . import VERSION
from .brew import brewsheet, gyles, recipes, sitefigures
from .door import actions, brought, views
from .door.device import Device, Open
from .ground.errors import CoreError
from .plant import readwith
from .plant.interlocks import NOTHING
from .plant.known import Known
from .run import events, instruments, limits, readings
from .run.authority import Administration
from .run.lasting import whole_from
from .run.ledger import Run
from .sums import calculations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import (
        Acted,
        After,
        GyleView,
        InstrumentChoices,
        InstrumentsHeld,
        Judgement,
        Look,
        OpenedRun,
        Proposal,
        RunView,
        Sheet,
        Stand,
        SumFault,
        Summary,
        Taker,
        Working,
    )

_device = Device()


def _about(args: dict) -> dict:
    return {"core": VERSION, "calculations": calculations.listing()}


def _told(args: dict) -> None:
    _device.tell(args["admin"], args.get("anew") is True)


def _open(args: dict) -> "RunView":
    run = _device.fold(args)
    _device.open(run, args.get("cautions", []))
    return views.view(run)


def _view(args: dict) -> "RunView":
    return views.view(_device.held(args["run"]).run)


def _act(args: dict) -> "Acted":
    return _device.act(args)


def _taken(args: dict) -> "After":
    return _device.take(args)


def _look(args: dict) -> "Look":
    person = args["person"]
    if "met" in args:
        _device.met[person["id"]] = args["met"]
    return _device.look(_device.held(args["run"]), args["step"], person, args["now"])


def _read(args: dict) -> Run:
    """The open run; with `events`, the run of those, folded aside and not kept unless it is the open one.

    A list that reads a run must not put its own reading of the log in place of an open run.
    """
    if "events" not in args:
        return _device.held(args["run"]).run
    return _device.is_open(args["run"], args["events"]) or _device.fold(args)


def _line(args: dict) -> "Summary":
    line = views.line(_read(args))
    if _device.known is not None:
        _device.known.take(line)
    return line


def _prepare(args: dict) -> dict:
    if args["action"] != "open":
        return _device.prepare(_device.held(args["run"]), args["action"], args["person"], args["now"], args)
    run = Run(args.get("run", ""), args["procedure"], Administration([]))
    return _device.prepare(Open(run, {}), "open", args["person"], args["now"], args)


def _judge(args: dict) -> "Judgement":
    run = _device.held(args["run"]).run
    entry = run.plan.entry(args["step"], args["field"])
    if entry is None:
        raise CoreError("unknown-field", "This step has no such field.", field="field")
    judged = limits.judge(entry, args["typed"], run)
    readings.refuse_impossible(entry, judged["value"])
    return judged


def _work(args: dict) -> "Working":
    if "name" in args:
        return calculations.work(args["name"], args["inputs"])
    run = _device.held(args["run"]).run
    entry = run.plan.entry(args["step"], args["field"])
    if entry is None:
        raise CoreError("unknown-field", "This step has no such field.", field="field")
    return brought.work(entry, run, args)


def _faults(args: dict) -> "list[SumFault]":
    return calculations.faults(args["name"], args["inputs"])


def _takers(args: dict) -> "list[Taker]":
    return brought.takers(_read(args), args["calculation"], args["result"])


def _load(args: dict) -> "Stand":
    _device.known = Known(
        args["vessels"],
        args["runs"],
        args.get("settings", {}),
        args.get("instruments", []),
        whole_from(args.get("enrolled")),
    )
    return _stand(args)


def _stand(args: dict) -> "Stand":
    known = _device.known
    if known is None:
        raise CoreError("not-loaded", "The plant has not been read on this device.")
    return {"vessels": known.board(args["now"]), "doubts": known.doubts()}


def _propose(args: dict) -> "list[Proposal]":
    known, procedures, now = _device.known or NOTHING, args["procedures"], args["now"]
    return (
        known.proposals(args["vessel"], procedures, now) if "vessel" in args else known.due(procedures, now)
    )


def _instruments(args: dict) -> "InstrumentsHeld":
    known = _device.known or NOTHING
    return {"rows": known.instrument_rows(args["now"]), "doubts": known.doubts()}


def _instrument_faults(args: dict) -> list:
    return instruments.read(args["instrument"])[1]


def _read_with(args: dict) -> "InstrumentChoices":
    run = _device.held(args["run"]).run
    entry = run.plan.entry(args["step"], args["field"])
    if entry is None:
        raise CoreError("unknown-field", "This step has no such field.", field="field")
    return readwith.choices(run, args["step"], entry, _device.known, args.get("last"), args["now"])


def _brew_sheet(args: dict) -> "Sheet":
    return brewsheet.brew_sheet(args["recipe"], args.get("settings", {}))


def _gyle(args: dict) -> "GyleView":
    mashes, before = args.get("mashes", []), args.get("before", [])
    runs: list[OpenedRun] = [_viewed(row) if "events" in row else row for row in args["runs"]]
    settings = args["settings"] if "settings" in args else _settings_then(args["runs"])
    place = args.get("place")
    if place is not None:
        place["elsewhere"] = [_viewed(row) if "events" in row else row for row in place["elsewhere"]]
    return gyles.gyle(args.get("recipe"), settings, runs, mashes, before, place)


def _settings_then(rows: list) -> dict:
    """The site's figures as they were known where the gyle was begun."""
    first = _read(rows[0]) if rows and "events" in rows[0] else None
    if first is None or first.opened is None:
        return {}
    return sitefigures.as_known(first.administration, first.opened.seen)


def _viewed(row: dict) -> "OpenedRun":
    return {"run": views.view(_read(row)), "procedure": row["procedure"]}


def _recipe_form(args: dict) -> dict:
    return recipes.described()


def _site_figures(args: dict) -> list:
    return sitefigures.listed(args["settings"])


def _check(args: dict) -> list:
    return events.check(args.get("event"))


# call: (what answers it, the arguments it cannot do without)
_DOORS = {
    "about": (_about, ()),
    "told": (_told, ("admin",)),
    "open": (_open, ("run", "events")),
    "view": (_view, ("run",)),
    "prepare": (_prepare, ("action", "person", "now")),
    "act": (_act, ("run", "action", "person", "now", "stamp")),
    "taken": (_taken, ("run", "now")),
    "look": (_look, ("run", "step", "person", "now")),
    "line": (_line, ("run",)),
    "load": (_load, ("vessels", "runs", "now")),
    "stand": (_stand, ("now",)),
    "judge": (_judge, ("run", "step", "field", "typed")),
    "work": (_work, ()),
    "faults": (_faults, ("name", "inputs")),
    "takers": (_takers, ("run", "calculation", "result")),
    "propose": (_propose, ("procedures", "now")),
    "instruments": (_instruments, ("now",)),
    "read-with": (_read_with, ("run", "step", "field", "now")),
    "instrument-faults": (_instrument_faults, ("instrument",)),
    "check": (_check, ("event",)),
    "brew-sheet": (_brew_sheet, ("recipe",)),
    "gyle": (_gyle, ("runs",)),
    "recipe-form": (_recipe_form, ()),
    "site-figures": (_site_figures, ("settings",)),
}


def call(name: str, args: str) -> str:
    """Answer one call: `{"ok": ...}` or `{"error": {code, text, field, waits?}}`, as JSON text. Never raises.

    `name` is one of the calls in README.md; `args` is a JSON object. A call that lacks an argument is the
    caller's fault and answered with code `bad-call`; a fault of the core itself is told as `core-fault`, so that one
    record it cannot take ends one answer and not the engine.
    """
    door, needed = _DOORS.get(name, (None, ()))
    if door is None:
        return _error("bad-call", "There is no call " + name)
    try:
        given = json.loads(args)
        if not isinstance(given, dict):
            return _error("bad-call", "Arguments are one JSON object.")
        lacking = [argument for argument in needed if argument not in given]
        if lacking:
            return _error("bad-call", "An argument is missing: " + ", ".join(lacking))
        return json.dumps({"ok": door(given)})
    except CoreError as error:
        problem: dict = {"code": error.code, "text": error.text, "field": error.field}
        if isinstance(error, actions.WaitError):
            problem["waits"] = error.waits
        return json.dumps({"error": problem})
    except Exception as error:  # noqa: BLE001  # the door is where a fault of the core stops, whatever it is
        return _error(
            "core-fault", "This could not be worked out here: " + type(error).__name__ + ": " + str(error)
        )


def _error(code: str, text: str) -> str:
    return json.dumps({"error": {"code": code, "text": text, "field": None}})
