"""The shape of a procedure and what a step allows: needs, order, and transitions as a table."""

# interlock: (its name in words, whether a duty brewer may override it)
INTERLOCKS = {
    "fill": ("Fill", True),
    "add": ("Add to a filled vessel", True),
    "empty": ("Chemical only into an empty vessel", True),
    "contact": ("Contact time", True),
    "release": ("Release of the beer", True),
    "package": ("Package", True),
    "canning-run": ("Canning run", True),
    "lots": ("Lots known", True),
    "pressure": ("Pressure", False),
    "gas": ("Gas", False),
    "entry": ("Confined space", False),
    "vent": ("Caustic only into a vented tank", False),
}

STATUSES = ("shut", "open", "done", "skipped", "reopened")

# event kind: {status of its step: finding when it happens there; "" is allowed}
TRANSITIONS = {
    "caution.met": {"shut": "", "open": "", "done": "", "skipped": "", "reopened": ""},
    "entry.made": {"shut": "early", "open": "", "done": "", "skipped": "", "reopened": ""},
    "entry.settled": {"shut": "", "open": "", "done": "", "skipped": "", "reopened": ""},
    "step.done": {"shut": "early", "open": "", "done": "again", "skipped": "", "reopened": ""},
    "step.skipped": {"shut": "early", "open": "", "done": "again", "skipped": "again", "reopened": ""},
    "hold.started": {"shut": "early", "open": "", "done": "", "skipped": "", "reopened": ""},
    "hold.ended": {"shut": "early", "open": "", "done": "", "skipped": "", "reopened": ""},
    "sign.given": {"shut": "", "open": "", "done": "", "skipped": "", "reopened": ""},
}


def footing(bound: object) -> list[str]:
    """The fields, `step.field`, that a bound, a sum's inputs or a set of limits rests on, in order of name."""
    found: set = set()
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

    def __init__(self, procedure: dict | None) -> None:
        self.procedure = procedure or {}
        self.steps: dict = {}
        self.order: list = []
        self.needs: dict = {}
        self.waiting: dict = {}
        self.place: dict = {}
        self.resting: dict = {}
        """Of each field `step.field` the fields (step, field) that are worked from it or judged by it."""
        before = None
        for step in self.procedure.get("steps", []):
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
                for name in footing([(entry.get("works") or {}).get("inputs"), entry.get("limits")]):
                    self.resting.setdefault(name, []).append((key, entry["id"]))

    def entry(self, step: str, field: str) -> dict | None:
        """The definition of a field, or None when this procedure has no such step or field."""
        for entry in self.steps.get(step, {}).get("entries", []):
            if entry["id"] == field:
                return entry
        return None

    def asks(self, step: str) -> list:
        """What a step asks of the interlocks: `{interlock, of?, warns?, on?}` each."""
        return list(self.steps.get(step, {}).get("asks", []))

    def stops(self, step: str) -> list:
        """Those of `asks` that stop the step rather than warn."""
        return [ask for ask in self.asks(step) if not ask.get("warns")]

    def absolute(self, step: str) -> str | None:
        """The interlock of a step that nobody may override, waive or skip, or None."""
        for ask in self.stops(step):
            if ask["interlock"] in INTERLOCKS and not INTERLOCKS[ask["interlock"]][1]:
                return str(ask["interlock"])
        return None

    def title(self, step: str) -> str:
        """The title of a step, or its id when unknown."""
        return self.steps.get(step, {}).get("title", step)

    def default(self, kind: str, name: str) -> str | None:
        """The default of a setting or input (`kind` is `settings` or `inputs`), or None."""
        for row in self.procedure.get(kind, []):
            if row["id"] == name:
                return row.get("default")
        return None

    def after(self, step: str) -> list:
        """Every step that rests on `step`, directly or through others, in order."""
        found: set = set()
        todo = list(self.waiting.get(step, ()))
        while todo:
            key = todo.pop()
            if key not in found:
                found.add(key)
                for other in self.waiting[key]:
                    todo.append(other)
        return [key for key in self.order if key in found]
