"""What a device knows of the plant, kept true line by line: a tap changes one run, and with it one vessel or all."""

from . import doubts, draws, fitness, proposals, states, vessel

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from vesselside.core.shapes import (
        Held,
        InstrumentCard,
        InstrumentView,
        Line,
        OfferedProcedure,
        Proposal,
        Trouble,
        VesselCard,
        VesselView,
    )


class Known:
    """The site's vessels, instruments and settings, and the summary of every run held, by id.

    `whole` is from when on every run is held [ms], None when all are. Nothing is worked out twice while it stays so.
    """

    def __init__(
        self,
        vessels: "list[VesselCard]",
        lines: "Sequence[Line]",
        settings: dict[str, str],
        instruments: "list[InstrumentCard]",
        whole: int | None,
    ) -> None:
        self.vessels, self.settings, self.instruments, self.whole = vessels, settings, instruments, whole
        self._lines: dict[str, Line] = {line["id"]: line for line in lines}
        self._grouped: dict[str, list[Line]] | None = None
        self._held: dict[str, Held] = {}
        self._let_go: list[Trouble] | None = None
        self._doubts: list[Trouble] | None = None
        self._told: dict[str, VesselView] = {}

    def take(self, line: "Line") -> None:
        """Put a run's line in place of what was known of that run."""
        old = self._lines.get(line["id"])
        self._lines[line["id"]] = line
        if old is None or draws.reach(old) != draws.reach(line):
            self._grouped = None
            self._held = {}
        elif self._grouped is not None and line["vessel"]:
            there = self._grouped.get(line["vessel"], [])
            mine = [other for other in there if other["id"] != line["id"] or other.get("elsewhere")]
            self._grouped[line["vessel"]] = mine + [line]
            self._held.pop(line["vessel"], None)
        if old is None or fitness.reach(old) != fitness.reach(line):
            self._let_go = None
        if old is None or old.get("instruments") != line["instruments"]:
            self._doubts = None

    def lines(self) -> "list[Line]":
        """The summaries of all runs held, in any order."""
        return list(self._lines.values())

    def doubts(self) -> "list[Trouble]":
        """What failed instruments put in doubt, as `doubts.found` gives it."""
        if self._doubts is None:
            lines = self.lines()
            self._doubts = doubts.found(lines, doubts.checks_of(lines), self.instruments)
        return self._doubts

    def instrument_rows(self, now: int) -> "list[InstrumentView]":
        """How each instrument stands at `now` [ms]."""
        return doubts.states(self.instruments, doubts.checks_of(self.lines()), self.doubts(), now)

    def board(self, now: int) -> "list[VesselView]":
        """The state of every vessel at `now` [ms], rows as `states.board` gives them."""
        if self._grouped is None:
            self._grouped = states.by_vessel(self.vessels, self.lines())
        if self._let_go is None:
            self._let_go = fitness.troubles(self.lines(), self.whole)
        rows: list[VesselView] = []
        for card in self.vessels:
            lines = self._grouped.get(card["id"], [])
            if card["id"] not in self._held:
                self._held[card["id"]] = vessel.replay(lines, card.get("kind"), self.whole)
            held = self._held[card["id"]]
            rows.append(states.row(card, lines, held, self.settings, self._let_go, self.doubts(), now))
        return rows

    def proposals(self, name: str | None, procedures: "list[OfferedProcedure]", now: int) -> "list[Proposal]":
        """What to begin on a vessel at `now` [ms], best first, as `proposals` ranks it; with None, at no vessel."""
        if name is None:
            return proposals.at_none(self.lines(), procedures)
        for row in self.board(now):
            if row["id"] == name:
                return self._proposals(row, procedures, now)
        return []

    def due(self, procedures: "list[OfferedProcedure]", now: int) -> "list[Proposal]":
        """What should not wait at `now` [ms], one proposal a vessel."""
        return proposals.due([self._proposals(row, procedures, now) for row in self.board(now)])

    def _proposals(
        self, row: "VesselView", procedures: "list[OfferedProcedure]", now: int
    ) -> "list[Proposal]":
        here = (self._grouped or {}).get(row["id"], [])
        lasting = states.lasting(self.settings)
        return proposals.at_vessel(row, self._held[row["id"]], here, self.lines(), procedures, lasting, now)

    def news(self, now: int) -> "list[VesselView]":
        """The rows of `board` that are not as they were when last told here."""
        rows = self.board(now)
        fresh = [row for row in rows if self._told.get(row["id"]) != row]
        for row in fresh:
            self._told[row["id"]] = row
        return fresh
