"""What a device holds of the plant, as summaries of runs: made by hand, so that each test says what stood before."""

from datetime import UTC, datetime

HOUR = 3_600_000
LASTING = {"clean": 72 * HOUR, "sanitised": 12 * HOUR}
FACTS = ("stable", "limit", "diacetyl", "creep", "ph", "carbonation", "released")


def at(ms):
    """A logical clock's stamp."""
    return f"{ms:012x}-0000"


def row(what, run, ms, **more):
    """One happening of a run."""
    return {"at": at(ms), "event": f"{run}-{what}-{ms}", "person": "bay", "time": ms, "what": what, **more}


def line(run, vessel, life, *, kind="cleaning", status="finished", gyle=None, **more):
    """A run's summary, as far as the plant reads one."""
    first = (
        datetime.fromtimestamp(min(r["time"] for r in life) / 1000, UTC)
        if life
        else datetime(2026, 9, 21, tzinfo=UTC)
    )
    opened = {"event": f"{run}-begun", "person": "bay", "time": first.strftime("%Y-%m-%dT%H:%M:%S.000Z")}
    return {
        "id": run, "vessel": vessel, "gyle": gyle, "kind": kind, "status": status, "opened": opened, "life": life,
        "shows": {}, "lots_unknown": [], "bound_for": None, "fills": kind != "cleaning", **more,
    }  # fmt: skip


def cleaned(run, vessel, ms, *, sanitised=True, clean=True):
    """A clean, begun an hour before `ms` and finished then, with its proofs."""
    proofs = (["look", "process", "residue"] if clean else []) + (["sanitised"] if sanitised else [])
    end = {"proofs": proofs, "clean": ms if clean else None, "sanitised": ms if sanitised else None}
    end |= {"leaves": "soiled", "lasting": LASTING, "answered": None, "override": None}
    return line(run, vessel, [row("begun", run, ms - HOUR), row("finished", run, ms, **end)])


def abandoned(run, vessel, ms, left, *, dosed=False):
    """A clean that was stopped."""
    life = [row("begun", run, ms - HOUR)]
    asked = {"step": "dose", "interlock": "empty", "override": None, "answered": None}
    life += [row("chemical-in", run, ms - 1000, **asked)] if dosed else []
    end = {"left": left, "lasting": LASTING, "answered": None, "override": None}
    return line(run, vessel, [*life, row("abandoned", run, ms, **end)], status="abandoned")


def filled(run, vessel, ms, *, gyle="g1", interlock="fill", override=None, lasting=LASTING, answered=None):
    """A fill, its run still open."""
    more = {"step": "fill", "lasting": lasting, "interlock": interlock, "on": None, "override": override}
    life = [row("begun", run, ms - 1000), row("filled", run, ms, answered=answered, **more)]
    return line(run, vessel, life, kind="brew", status="open", gyle=gyle)


def drew(run, vessel, ms, kinds, *, gyle="g1", named=None, leaves="soiled", source=None):
    """A run on `vessel` that took all of a gyle out of a vessel of one of these kinds; its own vessel without."""
    life = [row("begun", run, ms - 1000)]
    if kinds:
        told = {"from": kinds, "named": named, "gyle": source or gyle, "leaves": leaves}
        life.append(row("drawn", run, ms, **told))
    else:
        life.append(row("emptied", run, ms, leaves=leaves))
    return line(run, vessel, life, kind="cellar", status="open", gyle=gyle)


def ready(run, vessel, ms, gyle=None):
    """A pre-start, released at `ms`, its beer in the line."""
    fill = filled(run, vessel, ms - 1000, gyle=gyle)
    return {**fill, "kind": "packaging", "life": [*fill["life"], row("ready", run, ms, lasts=12 * HOUR)]}


def showing(run, gyle, facts=FACTS, ms=0):
    """A run that showed these facts of a gyle."""
    return line(run, None, [], kind="cellar", gyle=gyle, shows=dict.fromkeys(facts, ms))


def fit_for(procedure, vessel, ms, gyle):
    """What must stand before a procedure may be done on `vessel` at `ms`: cleaned, filled, ready, released."""
    asks = {ask["interlock"] for step in procedure["steps"] for ask in step.get("asks", [])}
    lines = [cleaned("w-clean", vessel, ms - HOUR), showing("w-shown", gyle)]
    if "add" in asks:
        lines.append(filled("w-fill", vessel, ms - 1000, gyle=gyle))
    if "canning-run" in asks:
        lines.append(ready("w-ready", vessel, ms - 1000, gyle=gyle))
    return lines
