"""A month at a plant that is not there: people who keep to what the phone lets them do, and much that goes wrong.

Runs are driven through the core's own door. Cleans are stopped, shifts split, the phone's core is lost, readings are
struck after the run is closed, and now and then a phone has not heard of what others did. What an interlock stops is
put right as it says, or overridden by the duty brewer.
"""

import random
from typing import Any

from tests.core.walker import RefusedError, ask, signed
from tests.library.test_walk import LIBRARY, Hand, asked_of, readings_of

Line = dict[str, Any]
HOUR = 3_600_000
DAY = 24 * HOUR
START = 1_790_000_000_000
PROCEDURES = {row["id"]: row for row in LIBRARY.procedures}
VESSELS = [
    {"id": key, "name": key.upper(), "kind": kind, "place": "Plant"}
    for key, kind in (
        ("fv1", "fermenter"), ("fv2", "fermenter"), ("bbt1", "bright"), ("yeast-tank", "yeast-vessel"),
        ("mash-tun", "mash-tun"), ("copper", "copper"), ("whirlpool", "whirlpool"), ("hlt", "liquor-tank"),
        ("exchanger", "heat-exchanger"), ("can-line", "canning-line"), ("keg-line", "keg-line"),
        ("cask-line", "cask-line"),
    )
]  # fmt: skip
SIGNED = {name: value for procedure in PROCEDURES.values() for name, value in signed(procedure).items()}
CREW = [("bay", "brewer"), ("col", "duty"), ("dee", "manager"), ("bay", "brewer")]
DUTY = {"id": "col", "role": "duty"}
# How each kind of vessel is cleaned and proved for a fill.
CLEANS = {
    "fermenter": ["fermenter-caustic-clean"],
    "bright": ["bright-caustic-clean"],
    "yeast-vessel": ["yeast-vessel-clean"],
    "canning-line": ["filler-clean", "line-sanitise"],
    "keg-line": ["filler-clean", "line-sanitise"],
    "cask-line": ["cask-wash", "line-sanitise"],
}
FILLS = {"fermenter": "cast-and-pitch", "bright": "transfer-to-bright"}


class Month:
    """The plant, what was done in it, and what each phone may know of that."""

    def __init__(self, seed: int) -> None:
        self.dice = random.Random(seed)
        self.now = START
        self.lines: dict[str, Line] = {}
        self.walkers: dict[str, Hand] = {}
        self.raised: set[str] = set()
        self.done: set[str] = set()
        self.blind = 0
        self.count = {"abandoned": 0, "overridden": 0, "stopped": 0, "struck": 0, "lost": 0, "blind": 0}

    def live(self, days: int) -> None:
        """So many days, every procedure at least once, in any order."""
        todo = [name for name in PROCEDURES for _ in range(2)]
        self.dice.shuffle(todo)
        for number, name in enumerate(todo):
            self.now = max(self.now, START + number * days * DAY // len(todo))
            self.blind = self.dice.randrange(1, 5) if self.dice.random() < 0.15 else 0
            self.count["blind"] += self.blind > 0
            self.perform(name, self._vessel(PROCEDURES[name]), trouble=True)
            self.blind = 0

    def _vessel(self, procedure: Line) -> str | None:
        fitting = [card["id"] for card in VESSELS if card["kind"] in procedure["vessel_kinds"]]
        return self.dice.choice(fitting) if fitting else None

    def _tell(self) -> None:
        """Give the phone what it may know: all, or all but the latest when it has no signal."""
        known = list(self.lines.values())
        known = known[: len(known) - self.blind] if self.blind else known
        ask("load", vessels=VESSELS, runs=known, settings=SIGNED, now=self.now)

    def perform(self, name: str, vessel: str | None, *, trouble: bool, gyle: str = "g1") -> Hand:
        """Drive a procedure to its end: finished, or stopped part way."""
        procedure = PROCEDURES[name]
        walker = Hand(
            procedure, LIBRARY.cautions, run=f"run-{len(self.walkers)}", start=self.now, fit=False,
            inputs_given=asked_of(procedure), readings=readings_of(procedure), vessel=vessel, gyle=gyle,
            person=self.dice.choice(CREW),
        )  # fmt: skip
        self.walkers[walker.run] = walker
        stop_at = self.dice.choice(procedure["steps"])["id"] if trouble and self.dice.random() < 0.2 else None
        while walker.view["next"]:
            step = walker.view["next"]
            if step == stop_at:
                self._abandon(walker)
                break
            self._go_wrong(walker, step, trouble)
            self._do(walker, step, vessel, gyle)
        else:
            walker.act("finish")
            self.done.add(name)
        self._close(walker)
        if trouble and self.dice.random() < 0.1:
            self._correct(walker)
        return walker

    def _go_wrong(self, walker: Hand, step: str, trouble: bool) -> None:
        if not trouble:
            return
        if self.dice.random() < 0.1:
            person = self.dice.choice(CREW)
            walker.person = {"id": person[0], "role": person[1]}
        if self.dice.random() < 0.05:
            self.count["lost"] += 1
            walker.reopen()
        if self.dice.random() < 0.03:
            event = walker.act("deviate", text="Something was different")
            self.raised.add(event["id"])

    def _do(self, walker: Hand, step: str, vessel: str | None, gyle: str) -> None:
        for _ in range(8):
            self._tell()
            try:
                walker.do(step)
            except RefusedError as refused:
                waits = refused.problem.get("waits", [])
                stops = [wait["interlock"] for wait in waits if wait["code"] == "interlock"]
                if not stops:
                    raise
                self.count["stopped"] += 1
                self._put_right(walker, step, stops[0], vessel, gyle)
            else:
                return
        raise AssertionError(f"no way on: {walker.procedure['id']}, {step}: {stops}")

    def _put_right(self, walker: Hand, step: str, interlock: str, vessel: str | None, gyle: str) -> None:
        """As the stop says, or by an override."""
        if self.dice.random() < 0.3:
            mine, walker.person = walker.person, DUTY
            given = {"reason": "It cannot wait", "check": "Looked, read, sampled"}
            event = walker.act("override", step=step, interlock=interlock, **given)
            walker.person = mine
            self.raised.add(event["id"])
            self.count["overridden"] += 1
            return
        self.now, self.blind = walker.now, 0
        for name in self._means(interlock, vessel):
            fitting = [card["id"] for card in VESSELS if card["kind"] in PROCEDURES[name]["vessel_kinds"]]
            self.perform(name, vessel if vessel in fitting else fitting[0], trouble=False, gyle=gyle)
        walker.now = self.now
        walker.reopen()
        if interlock == "fill":
            self._rinse_again(walker, step, vessel, gyle)

    def _rinse_again(self, walker: Hand, step: str, vessel: str | None, gyle: str) -> None:
        """A line that was sanitised again after its rinse stands full: its rinse is struck and done once more."""
        for other, row in walker.steps.items():
            done = [e for e in walker.events if e["type"] == "step.done" and e["data"]["step"] == other]
            if (
                other != step
                and done
                and row.get("chemical") == "out"
                and walker.procedure["kind"] != "cleaning"
            ):
                walker.act("strike", target=done[-1]["id"], reason="Sanitised again since")
                self._do(walker, other, vessel, gyle)

    def _means(self, interlock: str, vessel: str | None) -> list[str]:
        """What puts right what an interlock stops; beer sent out stands on no vessel of this plant."""
        kind = next((card["kind"] for card in VESSELS if card["id"] == vessel), None)
        if interlock == "fill":
            return CLEANS[kind]
        if interlock == "add":
            return [*CLEANS[kind], FILLS[kind]]
        if interlock == "empty":
            return (
                ["brew-dumped"]
                if kind in PROCEDURES["brew-dumped"]["vessel_kinds"]
                else ["canning-shut-down"]
            )
        means = {
            "release": ["crash-chill", "fermenter-check"],
            "release-cask": ["crash-chill", "fermenter-check"],
            "package": ["carbonate"],
        }
        return means.get(interlock, ["canning-line-pre-start"])

    def _abandon(self, walker: Hand) -> None:
        self.count["abandoned"] += 1
        left = self.dice.choice(["soiled", "rinsed", "co2", "hot"])
        try:
            walker.act("abandon", reason="Called away", left=left)
        except RefusedError as refused:
            if refused.problem["code"] != "left-chemical":
                raise
            walker.act("abandon", reason="Called away", left="chemical")

    def _correct(self, walker: Hand) -> None:
        """A reading struck when the run is long closed."""
        entries = [event for event in walker.events if event["type"] == "entry.made"]
        if entries:
            walker.now += 2 * HOUR
            walker.reopen()
            walker.act("strike", target=self.dice.choice(entries)["id"], reason="Wrong meter")
            self.count["struck"] += 1
            self._close(walker)

    def _close(self, walker: Hand) -> None:
        walker.reopen()
        self.lines[walker.run] = ask("line", run=walker.run)
        self.now = max(self.now, walker.now)
