"""A small invented procedure that asks every interlock, and what a device holds when it is asked."""

from .builder import Pen

LIMITS = {
    "target": ["50", "65"],
    "stop": ["30", "70"],
    "low": "Warm it.",
    "high": "Ease it.",
    "halt": "Heat off.",
}
CHOICE = [
    {"id": "good", "label": "Good", "verdict": "target"},
    {"id": "bad", "label": "Bad", "verdict": "stop", "advice": "Stop here."},
]


def step(name, *asks, **more):
    """A step that needs none before it and asks these interlocks."""
    row = {"id": name, "title": name.title(), "needs": [], "cautions": [], "entries": [], **more}
    return (
        {**row, "asks": [{"interlock": ask} if isinstance(ask, str) else ask for ask in asks]}
        if asks
        else row
    )


def entry(name, kind, **more):
    """One entry."""
    return {"id": name, "label": name.title(), "kind": kind, **more}


FILLING = {
    "id": "bench-fill",
    "version": 1,
    "sha256": "cd" * 32,
    "title": "Bench fill",
    "kind": "brew",
    "vessel_kinds": ["fermenter"],
    "leaves": "filled",
    "settings": [],
    "inputs": [],
    "steps": [
        step(
            "meant",
            {"interlock": "fill", "of": "meant.vessel", "warns": True},
            entries=[entry("vessel", "text", optional=True)],
        ),
        step("vent", "pressure", never_locked=True, anytime=True, cautions=["pressure"],
             entries=[entry("flow", "choice", options=CHOICE)]),
        step("malt", entries=[entry("lot", "lot", optional=True)]),
        step("hold", "contact", hold={"seconds": "600"},
             entries=[entry("return", "reading", unit="°C", series=True, limits={**LIMITS, "source": "test"})]),
        step("dose", "empty", chemical="in"),
        step("rinse", chemical="out"),
        step("fill", "fill", fills=True),
        step("top", "add"),
        step("steady", shows=["stable", "limit", "diacetyl", "creep", "ph"]),
        step("gas", shows=["carbonation"]),
        step("release", "release", shows=["released"]),
        step("release-cask", "release-cask", shows=["released"]),
        step("fruit", ends=["stable", "released"], entries=[entry("lot", "lot", optional=True)]),
        step("package", "package"),
        step("check", "canning-run", entries=[
            entry("since", "choice", optional=True, renews=["bad"],
                  options=[CHOICE[0], {"id": "bad", "label": "Long stop", "verdict": "advise", "advice": "Again."}]),
        ]),
        step("pallet", "lots"),
    ],
}  # fmt: skip
VESSELS = [
    {"id": "fv1", "name": "FV 1", "kind": "fermenter", "place": "Tank room"},
    {"id": "fv2", "name": "FV 2", "kind": "fermenter", "place": "Tank room"},
    {"id": "bbt1", "name": "BBT 1", "kind": "bright", "place": "Cold room"},
]


class FillPen(Pen):
    """Writes events of a run of it."""

    def opened(self, **more):
        """The run is opened on FV 1, for gyle g1."""
        given = {"vessel": "fv1", "gyle": "g1", **more}
        return self.write(
            "run.opened", procedure="bench-fill", version=1, sha256="cd" * 32, inputs={}, **given
        )

    def override(self, step, interlock, person="col", **more):
        """An override, as its contract says."""
        return self.write(
            "deviation.raised",
            person=person,
            step=step,
            interlock=interlock,
            text="Wort is hot",
            check="Swab",
            **more,
        )
