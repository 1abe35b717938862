"""How many records of a run call for a look, by what is said of them: what a register counts, shows and filters by."""

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import FieldView, Finding, RunView, Tally

OF_FINDINGS = {
    "clock": ("clock-ahead", "clock-offset", "bad-time"),
    "late": ("received-late",),
    "paper": ("from-paper",),
    "short": ("hold-short", "finished-early"),
    "unproved": ("person-not-proved",),
}
"""By which findings each is counted; `received-late` and `clock-offset` are found by the office alone."""
_READ = ("live", "contested", "superseded")


def tally(state: "RunView") -> "Tally":
    """Count the records of a run: each once, however much is found of it.

    `stop` and `advise` are its readings that were judged so when they were made, those entered again since among them:
    what was read was read. What was struck is counted as a strike, what is void is asked for again.
    """
    verdicts = {"stop": 0, "advise": 0}
    for step in state["order"]:
        for field in state["steps"][step]["entries"].values():
            _count(field, verdicts)
    found = {name: _found(state["findings"], OF_FINDINGS[name]) for name in OF_FINDINGS}
    return {
        "stop": verdicts["stop"],
        "advise": verdicts["advise"],
        "late": found["late"],
        "clock": found["clock"],
        "paper": found["paper"],
        "unproved": found["unproved"],
        "short": found["short"],
    }


def _count(field: "FieldView", verdicts: dict[str, int]) -> None:
    for row in field["all"]:
        if row["state"] in _READ and row["verdict"] in verdicts:
            verdicts[row["verdict"]] += 1


def _found(findings: "list[Finding]", codes: tuple[str, ...]) -> int:
    return len(set([row["event"] for row in findings if row["code"] in codes]))
