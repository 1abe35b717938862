"""A small invented procedure that reads and checks pH meters, and short runs of it as summaries."""

from vesselside.core.door import views

from .builder import START, Pen, administration, signed_in
from .world import HOUR

DAY = 24 * HOUR


def card(name, kind="ph-meter", **more):
    return {
        "id": name,
        "name": name.upper(),
        "kind": kind,
        "place": "",
        "check_days": 7,
        "in_use": True,
        **more,
    }


CARDS = [card("ph-1"), card("ph-2"), card("tilt", "thermometer")]
LIMITS = {
    "target": ["6.95", "7.05"], "stop": ["6.85", "7.15"], "low": "Adjust.", "high": "Adjust.", "halt": "Tag it.",
    "source": "test",
}  # fmt: skip
FOUR = {**LIMITS, "target": ["3.96", "4.06"], "stop": ["3.86", "4.16"]}


def reading(name, **more):
    entry = {"id": name, "label": name.title(), "kind": "reading", "unit": "pH", "places": 2}
    return {**entry, "instrument": "ph-meter", **more}


BENCH = {
    "id": "bench-clean", "version": 1, "sha256": "ab" * 32, "title": "Bench", "kind": "cellar", "vessel_kinds": [],
    "steps": [
        {"id": "check", "title": "Check", "entries": [
            reading("seven", series=True, verifies=True, limits=LIMITS),
            reading("four", series=True, verifies=True, limits=FOUR)]},
        {"id": "rinse", "title": "Rinse", "needs": [], "entries": [reading("ph"), reading("again", series=True)]},
    ],
}  # fmt: skip


def changed(number, one):
    data = {"id": one["id"], "instrument": one}
    sequence = f"{number:016d}"
    return {
        "source": "/server", "subject": "/admin", "sequence": sequence, "type": "instrument.changed", "data": data,
    }  # fmt: skip


def admin(cards=CARDS):
    return [*administration(), *[changed(7 + at, one) for at, one in enumerate(cards)]]


def summary(run, events, cards=CARDS):
    there = {(event["person"], event["source"][9:], int(event["hlc"][:12], 16)) for event in events}
    signs = [signed_in(person, device, START - ms) for person, device, ms in sorted(there)]
    return views.summary(views.fold(run, events, BENCH, [*admin(cards), *signs]))


def checked(run, at, *values, with_="ph-1", field="seven", device=None):
    """A run of checks, one reading a minute from `at`."""
    pen = Pen(device=device or f"d-{run}", start=at, run=run, step=60_000)
    events = [pen.opened()]
    for value in values:
        verdict = "target" if 6.95 <= float(value) <= 7.05 else "stop"
        events.append(pen.entry("check", field, value, "pH", verdict, instrument=with_))
    return pen, events


def full(run, at, *, with_="ph-1"):
    """A good check, both buffers."""
    pen, events = checked(run, at, "7.00", with_=with_)
    events.append(pen.entry("check", "four", "4.01", "pH", instrument=with_))
    return summary(run, events)


def failing(run, at, *, with_="ph-1"):
    return summary(run, checked(run, at, "6.50", with_=with_)[1])


def used(run, at, *, with_="ph-1", **more):
    pen = Pen(device=f"d-{run}", start=at, run=run)
    return summary(run, [pen.opened(), pen.entry("rinse", "ph", "7.40", "pH", instrument=with_, **more)])
