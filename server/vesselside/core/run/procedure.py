"""The shape of a procedure and what a step allows: needs, order, and transitions as a table."""

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Literal

    from vesselside.core.shapes import Ask, Entry, Input, Interlock, Procedure, SiteFigure, Step, StepStatus

# interlock: (its name in words, whether a duty brewer may override it)
INTERLOCKS: "dict[str, tuple[str, bool]]" = {
    "fill": ("Fill", True),
    "add": ("Add to a filled vessel", True),
    "empty": ("Chemical only into an empty vessel", True),
    "contact": ("Contact time", True),
    "release": ("Release of the beer", True),
    "release-cask": ("Release of the beer to cask", True),
    "package": ("Package", True),
    "canning-run": ("Canning run", True),
    "lots": ("Lots known", True),
    "figures": ("The site's own figures", True),
    "pressure": ("Pressure", False),
    "gas": ("Gas", False),
    "entry": ("Confined space", False),
    "vent": ("Caustic only into a vented tank", False),
}

STATUSES = ("shut", "open", "done", "skipped", "reopened")

# event kind: {status of its step: finding when it happens there; "" is allowed}
TRANSITIONS: "dict[str, dict[StepStatus, Literal['', 'early', 'again']]]" = {
    "caution.met": {"shut": "", "open": "", "done": "", "skipped": "", "reopened": ""},
    "entry.made": {"shut": "early", "open": "", "done": "", "skipped": "", "reopened": ""},
    "entry.settled": {"shut": "", "open": "", "done": "", "skipped": "", "reopened": ""},
    "step.done": {"shut": "early", "open": "", "done": "again", "skipped": "", "reopened": ""},
    "step.skipped": {"shut": "early", "open": "", "done": "again", "skipped": "again", "reopened": ""},
    "hold.started": {"shut": "early", "open": "", "done": "", "skipped": "", "reopened": ""},
    "hold.ended": {"shut": "early", "open": "", "done": "", "skipped": "", "reopened": ""},
    "sign.given": {"shut": "", "open": "", "done": "", "skipped": "", "reopened": ""},
}


def own_figure(row: "SiteFigure") -> bool:
    """Whether a setting is the site's own to give: its default is nobody's word but ours."""
    return "to be filled in" in row["source"]


def footing(bound: object) -> list[str]:
    """The fields, `step.field`, that a bound, a sum's inputs or a set of limits rests on, in order of name."""
    found: set[str] = set()
    todo = [bound]
    while todo:
        part = todo.pop()
        if isinstance(part, list):
            todo.extend(part)
        elif isinstance(part, dict):
            for key in part:
                named = part[key] if isinstance(part[key], list) else [part[key]]
                if key in ("entry", "series"):
                    found.update([name for name in named if isinstance(name, str)])
                else:
                    todo.append(part[key])
    return sorted(found)


class Plan:
    """A procedure indexed for use: steps by id, what each needs, who waits for each, and what rests on each field."""

    def __init__(self, procedure: "Procedure | None") -> None:
        self.procedure: "Procedure | None" = procedure
        self.steps: dict[str, Step] = {}
        self.order: list[str] = []
        self.needs: dict[str, list[str]] = {}
        self.waiting: dict[str, list[str]] = {}
        self.place: dict[str, int] = {}
        self.resting: dict[str, list[tuple[str, str]]] = {}
        """Of each field `step.field` the fields (step, field) that are worked from it or judged by it."""
        before = None
        for step in procedure["steps"] if procedure else []:
            key = step["id"]
            self.steps[key] = step
            self.place[key] = len(self.order)
            self.order.append(key)
            self.waiting[key] = []
            if "needs" in step and step["needs"] is not None:
                self.needs[key] = list(step["needs"])
            elif step.get("anytime") or before is None:
                self.needs[key] = []
            else:
                self.needs[key] = [before]
            if not step.get("anytime"):
                before = key
        for key in self.order:
            for other in self.needs[key]:
                if other in self.waiting:
                    self.waiting[other].append(key)

        for key in self.order:
            for entry in self.steps[key].get("entries", []):
                works = entry.get("works")
                for name in footing([works["inputs"] if works else None, entry.get("limits")]):
                    self.resting.setdefault(name, []).append((key, entry["id"]))

    def entry(self, step: str, field: str) -> "Entry | None":
        """The definition of a field, or None when this procedure has no such step or field."""
        held = self.steps.get(step)
        for entry in held.get("entries", []) if held else []:
            if entry["id"] == field:
                return entry
        return None

    def asks(self, step: str) -> "list[Ask]":
        """What a step asks of the interlocks: `{interlock, of?, warns?, on?}` each."""
        held = self.steps.get(step)
        return list(held.get("asks", [])) if held else []

    def stops(self, step: str) -> "list[Ask]":
        """Those of `asks` that stop the step rather than warn."""
        return [ask for ask in self.asks(step) if not ask.get("warns")]

    def absolute(self, step: str) -> "Interlock | None":
        """The interlock of a step that nobody may override, waive or skip, or None."""
        for ask in self.stops(step):
            if ask["interlock"] in INTERLOCKS and not INTERLOCKS[ask["interlock"]][1]:
                return ask["interlock"]
        return None

    def title(self, step: str) -> str:
        """The title of a step, or its id when unknown."""
        held = self.steps.get(step)
        return held["title"] if held else step

    def default(self, kind: str, name: str) -> str | None:
        """The default of a setting or input (`kind` is `settings` or `inputs`), or None."""
        if self.procedure is None:
            return None
        rows: list[SiteFigure] | list[Input] = []
        if kind == "settings":
            rows = self.procedure.get("settings", [])
        elif kind == "inputs":
            rows = self.procedure.get("inputs", [])
        for row in rows:
            if row["id"] == name:
                return row.get("default")
        return None

    def after(self, step: str) -> list[str]:
        """Every step that rests on `step`, directly or through others, in order."""
        found: set[str] = set()
        todo = list(self.waiting.get(step, ()))
        while todo:
            key = todo.pop()
            if key not in found:
                found.add(key)
                for other in self.waiting[key]:
                    todo.append(other)
        return [key for key in self.order if key in found]
