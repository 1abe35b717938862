"""The one door of the core: `call(name, json) -> json`. Only JSON text crosses it.

The runs a device has open stay folded here between calls, so a tap folds one event.
"""

import json

from . import VERSION
from .brew import brewsheet, gyles, recipes, sitefigures
from .door import actions, brought, hazards, views
from .ground.errors import CoreError
from .plant import doubts, interlocks, readwith, states
from .run import events, instruments, limits, readings
from .run.authority import Administration
from .run.lasting import whole_from
from .run.ledger import Run
from .run.record import of
from .sums import calculations

KEPT = 4
_runs: dict = {}
_plant: dict = {"known": None}
_order: list = []


def _keep(key: str, held: dict) -> None:
    _runs[key] = held
    if key in _order:
        _order.remove(key)
    _order.append(key)
    while len(_order) > KEPT:
        del _runs[_order.pop(0)]


def _held(args: dict) -> dict:
    held = _runs.get(args.get("run"))
    if held is None:
        raise CoreError("not-open", "Open the run first.")
    return held


def _about(args: dict) -> dict:
    return {"core": VERSION, "calculations": calculations.listing()}


def _open(args: dict) -> dict:
    run = Run(args["run"], args.get("procedure"), Administration(args.get("admin", [])))
    run.add(args["events"])
    cautions = {caution["id"]: caution for caution in args.get("cautions", [])}
    _keep(args["run"], {"run": run, "cautions": cautions})
    run.touched = set()
    return views.view(run)


def _add(args: dict) -> dict:
    run = _held(args)["run"]
    for event in args.get("admin", []):
        run.administration.add(event)
    if args.get("admin"):
        run.refold()
    run.add(args.get("events", []))
    return views.changes(run)


def _view(args: dict) -> dict:
    return views.view(_held(args)["run"])


def _read(args: dict) -> Run:
    """The open run; with `events`, the run of those, folded aside and not kept unless it is the open one.

    A list that reads a run must not put its own reading of the log in place of an open run.
    """
    if "events" not in args:
        return _held(args)["run"]
    held = _runs.get(args["run"])
    if held is not None and held["run"].is_of(args["events"]):
        return held["run"]
    run = Run(args["run"], args.get("procedure"), Administration(args.get("admin", [])))
    run.add(args["events"])
    return run


def _summary(args: dict) -> dict:
    return views.summary(views.view(_read(args)))


def _prepare(args: dict) -> dict:
    if args.get("action") == "open":
        run = Run(args.get("run", ""), args["procedure"], Administration([]))
        cautions: dict = {}
    else:
        held = _held(args)
        run, cautions = held["run"], held["cautions"]
    return actions.prepare(
        run,
        action=args.get("action", ""),
        person=args["person"],
        now=args["now"],
        given=args,
        cautions=cautions,
        known=_plant["known"],
    )


def _interlocks(args: dict) -> list:
    run = _held(args)["run"]
    if args["step"] not in run.steps:
        raise CoreError("unknown-step", "This procedure has no such step.", field="step")
    return interlocks.asked(run, args["step"], _plant["known"], args["now"])


def _judge(args: dict) -> dict:
    run = _held(args)["run"]
    entry = run.plan.entry(args["step"], args["field"])
    if entry is None:
        raise CoreError("unknown-field", "This step has no such field.", field="field")
    judged = limits.judge(entry, args["typed"], run)
    readings.refuse_impossible(entry, judged["value"])
    return judged


def _work(args: dict) -> dict:
    if "name" in args:
        return calculations.work(args["name"], args["inputs"])
    run = _held(args)["run"]
    entry = run.plan.entry(args["step"], args["field"])
    if entry is None:
        raise CoreError("unknown-field", "This step has no such field.", field="field")
    return brought.work(entry, run, args)


def _faults(args: dict) -> list:
    return calculations.faults(args["name"], args["inputs"])


def _takers(args: dict) -> list:
    return brought.takers(_read(args), args["calculation"], args["result"])


def _cautions(args: dict) -> list:
    held = _held(args)
    run, step, person = held["run"], args["step"], args["person"]
    here = [record.caution for record in run.steps[step].met if record.person == person]
    records = [record for record in [of(event) for event in args.get("met", [])] if record]
    rows = []
    for key in run.steps[step].cautions():
        caution = held["cautions"].get(key)
        if caution is None:
            raise CoreError("unknown-caution", "The text of this caution is not on this device: " + key)
        met = [{"version": made.version, "at": made.ms} for made in records if made.caution == key]
        how = hazards.shown(
            caution=caution,
            met=met,
            met_here=key in here,
            role=args["role"],
            triggered=key in run.steps[step].raised,
            critical=bool(run.plan.steps[step].get("critical")),
            lately=run.met(key, caution["version"], person),
            now=args["now"],
        )
        rows.append({"caution": key, "show": how})
    return rows


def _board(args: dict) -> list:
    known = {"vessels": args["vessels"], "runs": args["runs"], "settings": args.get("settings", {})}
    known["instruments"], known["whole"] = args.get("instruments", []), whole_from(args.get("enrolled"))
    checks = doubts.checks_of(known["runs"])
    known["doubts"] = doubts.found(known["runs"], checks, known["instruments"])
    _plant["known"] = known
    return states.board(
        known["vessels"], known["runs"], known["settings"], args["now"], known["doubts"], known["whole"]
    )


def _instruments(args: dict) -> dict:
    known = _plant["known"] or {"runs": [], "instruments": [], "doubts": []}
    checks = doubts.checks_of(known["runs"])
    rows = doubts.states(known["instruments"], checks, known["doubts"], args["now"])
    return {"rows": rows, "doubts": known["doubts"]}


def _instrument_faults(args: dict) -> list:
    return instruments.read(args["instrument"])[1]


def _read_with(args: dict) -> dict:
    run = _held(args)["run"]
    entry = run.plan.entry(args["step"], args["field"])
    if entry is None:
        raise CoreError("unknown-field", "This step has no such field.", field="field")
    return readwith.choices(run, args["step"], entry, _plant["known"], args.get("last"), args["now"])


def _brew_sheet(args: dict) -> dict:
    return brewsheet.brew_sheet(args["recipe"], args.get("settings", {}))


def _gyle(args: dict) -> dict:
    mashes, before = args.get("mashes", []), args.get("before", [])
    runs = [_viewed(row) if "events" in row else row for row in args["runs"]]
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


def _viewed(row: dict) -> dict:
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
    "open": (_open, ("run", "events")),
    "add": (_add, ("run",)),
    "view": (_view, ("run",)),
    "summary": (_summary, ("run",)),
    "prepare": (_prepare, ("action", "person", "now")),
    "judge": (_judge, ("run", "step", "field", "typed")),
    "work": (_work, ()),
    "faults": (_faults, ("name", "inputs")),
    "takers": (_takers, ("run", "calculation", "result")),
    "cautions": (_cautions, ("run", "step", "person", "role", "now")),
    "plant": (_board, ("vessels", "runs", "now")),
    "interlocks": (_interlocks, ("run", "step", "now")),
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

    `name` is one of the calls in DEVELOPERS.md; `args` is a JSON object. A call that lacks an argument is the
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
