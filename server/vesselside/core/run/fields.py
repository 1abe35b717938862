"""What one field of one step holds, as a set: live, superseded and contested entries.

An entry replaces those its `over` reaches. Settling makes the chosen entry reach the others. Two live, unequal entries
that do not reach each other are contested, and so is a cycle. Nothing here depends on order of arrival. What reaches
what is kept as bits, an entry each, so that one more entry costs one pass over a bounded field.
"""

from . import limits
from .events import same_value
from .instruments import is_named
from .record import Record

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import Entry, FieldStatus, FoldFinding, Verdict, Wait, Way

MOST_ENTRIES = 64
"""Entries of one field that is no series; nobody corrects one reading so often."""
MOST_READINGS = 400
"""Entries of one series: as many as a table of a calculation can have rows."""


class Made:
    """One entry as it was made."""

    __slots__ = (
        "advice", "amiss", "calculation", "clock_ms", "given", "how", "id", "instrument", "judged", "key", "limit",
        "ms", "over", "person", "source", "struck", "time", "typed", "unit", "value", "verdict",
    )  # fmt: skip

    def __init__(self, record: Record, struck: bool) -> None:
        self.id: str = record.id
        self.key: tuple[str, str] = record.key
        self.value: str = record.value
        self.typed: str = record.typed
        self.unit: str = record.unit
        self.how: "Way" = record.how
        self.person: str = record.person
        self.time: str = record.time
        self.ms: int = record.ms
        self.clock_ms: int = record.clock_ms
        self.instrument: str = record.instrument
        self.calculation: str = record.calculation
        self.given: dict[str, str] | None = record.given
        self.over: tuple[str, ...] = record.over
        self.struck: bool = struck
        self.verdict: "Verdict" = record.verdict
        """What the person was shown; the worse of that and what this core says where both are one version."""
        self.judged: "Verdict" = record.verdict
        """What the bounds of its field said of it when it was made."""
        self.advice: str = ""
        self.source: str = ""
        self.limit: str = ""
        self.amiss: "list[FoldFinding]" = []


class Settled:
    """One settling of a contested field: which entry counts, and over which."""

    __slots__ = ("chosen", "id", "over")

    def __init__(self, record: Record) -> None:
        self.id: str = record.id
        self.chosen: str = record.chosen
        self.over: tuple[str, ...] = record.over


class Field:
    """The entries of one field. `live`: ids that stand, in order; `stale`: those whose footing has gone, with why."""

    __slots__ = (
        "_named",
        "_place",
        "_reach",
        "_worst",
        "contested",
        "live",
        "made",
        "row",
        "series",
        "settles",
        "stale",
    )

    def __init__(self, row: "Entry") -> None:
        self.row = row
        self.series: bool = bool(row.get("series"))
        self.made: dict[str, Made] = {}
        self.settles: list[Settled] = []
        self.live: list[str] = []
        self.contested: bool = False
        self.stale: dict[str, str] = {}
        self._place: dict[str, int] = {}
        self._reach: list[int] = []
        self._named: set[str] = set()
        self._worst: "Verdict | None" = None

    # -- taking in ----------------------------------------------------------

    def full(self) -> bool:
        """Whether one more entry or settling would be beyond what is weighed."""
        if self.series:
            return len(self.made) >= MOST_READINGS
        return len(self.made) >= MOST_ENTRIES or len(self.settles) >= MOST_ENTRIES

    def take(self, made: Made) -> None:
        """Take one entry in; order of arrival changes nothing."""
        self._worst = None
        self.made[made.id] = made
        if self.series:
            self._line_up(made)
            return
        at = len(self._reach)
        self._place[made.id] = at
        reach = 0
        for other in made.over:
            if other in self._place:
                if other != made.id:
                    reach |= 1 << self._place[other] | self._reach[self._place[other]]
            else:
                self._named.add(other)
        self._reach.append(reach)
        if made.id in self._named or self.settles:
            self._close()
        self._weigh()

    def settle(self, settled: Settled) -> None:
        """Take one settling in."""
        self._worst = None
        self.settles.append(settled)
        if not self.series:
            self._close()
            self._weigh()

    def _line_up(self, made: Made) -> None:
        if made.struck:
            return
        at = len(self.live)
        while at and self.made[self.live[at - 1]].key > made.key:
            at -= 1
        self.live.insert(at, made.id)

    def _links(self) -> list[int]:
        """What each entry replaces at one step, as bits."""
        links = [0] * len(self._reach)
        for key in self.made:
            for other in self.made[key].over:
                if other != key and other in self._place:
                    links[self._place[key]] |= 1 << self._place[other]
        replaced: set[str] = set()
        for settled in self.settles:
            replaced.update(settled.over)
        for settled in self.settles:
            if settled.id in replaced or settled.chosen not in self._place:
                continue
            for other in settled.over:
                if other != settled.chosen and other in self._place:
                    links[self._place[settled.chosen]] |= 1 << self._place[other]
        return links

    def _close(self) -> None:
        """Work out anew what each entry reaches, over any number of others (Warshall's closure, on bits)."""
        reach = self._links()
        for middle in range(len(reach)):
            through = reach[middle]
            for at in range(len(reach)):
                if reach[at] >> middle & 1:
                    reach[at] |= through
        self._reach = reach

    def _weigh(self) -> None:
        """Sort the entries: struck ones are never live, yet what they replaced through others stays replaced."""
        standing = [(self._place[key], key) for key in self.made if not self.made[key].struck]
        newest = sorted(standing, reverse=True)
        live: list[tuple[tuple[str, str], str]] = []
        cycle = False
        for at, key in standing:
            replaced = False
            for other, _ in newest:
                if other != at and self._reach[other] >> at & 1:
                    if not self._reach[at] >> other & 1:
                        replaced = True
                        break
                    cycle = True
            if not replaced:
                live.append((self.made[key].key, key))
        live.sort()
        self.live = [key for _, key in live]
        unequal = [key for key in self.live[1:] if not self._same(self.live[0], key)]
        self.contested = bool(unequal) or (cycle and len(self.live) > 1)

    def _same(self, first: str, second: str) -> bool:
        return same_value(self.row["kind"], self.made[first].value, self.made[second].value)

    # -- what it says -------------------------------------------------------

    def status(self) -> "FieldStatus":
        """`empty`, `live` or `contested`."""
        return "contested" if self.contested else "live" if self.live else "empty"

    def newest(self) -> Made | None:
        """The live entry that stands for the field; the newest of a series; None when there is none."""
        return self.made[self.live[-1]] if self.live else None

    def void(self) -> str:
        """Why what stands here does not count: its sum or its bounds rest on a value that no longer does; or empty."""
        for key in self.live:
            if key in self.stale:
                return self.stale[key]
        return ""

    def value(self) -> str | None:
        """The value that counts; None when empty, contested or void."""
        made = self.newest()
        return None if made is None or self.contested or self.void() else made.value

    def values(self, before: tuple[str, str] | None = None) -> list[str]:
        """All live values in the order they were made; with `before`, of those placed before that."""
        rows = [self.made[key] for key in self.live]
        return [made.value for made in rows if before is None or made.key < before]

    def verdict(self) -> "Verdict":
        """The worst verdict it rests on: of a check of instruments the last of each counts, as it is left."""
        if self._worst is None:
            self._worst = "target"
            for key in self._counted():
                self._worst = limits.worse(self._worst, self.made[key].verdict)
        return self._worst

    def _counted(self) -> list[str]:
        if not self.row.get("verifies"):
            return self.live
        last: dict[str, str] = {}
        for key in self.live:
            instrument = self.made[key].instrument
            last[instrument if is_named(instrument) else key] = key
        return [key for key in self.live if key in last.values()]

    def lacking(self, waived: bool, after_stop: str) -> "Wait | None":
        """Why its step cannot be done, as a wait; None when nothing is lacking. `waived`: a deviation was raised."""
        wait: "Wait" = {"field": self.row["id"], "code": "entry", "text": ""}
        label = self.row["label"]
        if not self.live:
            if self.row.get("optional"):
                return None
            wait["text"] = "Enter: " + label
            if self.made:
                wait["struck"] = "1"
        elif self.contested:
            wait["code"], wait["text"] = "contested", "Settle which counts: " + label
        elif self.void():
            again = "Strike and enter again: " if self.series else "Enter again: "
            wait["void"], wait["text"] = "1", again + label + ". " + self.void()
        elif not waived and len(self.live) < self.row.get("least", 1):
            wait["text"] = "Enter: {} ({} of {} so far)".format(label, len(self.live), self.row["least"])
        elif not waived and self.verdict() == "stop":
            wait["code"], wait["text"] = "stop", after_stop + label
        else:
            return None
        return wait
