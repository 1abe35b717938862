"""What the checks of all runs say of each instrument, and which readings a failed one puts in doubt.

A reading is in doubt when the check next before it failed, or the check next after it did: an instrument found out was
wrong since nobody knows when, back to its last good check, and stays so until it is good again. A later good check
mends the instrument, not the readings made before it was found out. Order of arrival changes nothing.
"""

from vesselside.core.run import answering
from vesselside.core.run.findings import TROUBLES

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from vesselside.core.shapes import (
        Answer,
        DoubtAnswer,
        DoubtedReading,
        Happening,
        Held,
        InstrumentCard,
        InstrumentCheck,
        InstrumentDoubt,
        InstrumentReading,
        InstrumentState,
        InstrumentView,
        Line,
        Trouble,
    )

    Doubted = tuple[InstrumentReading, InstrumentCheck]

DAY_MS = 86_400_000
SHOWN = 3


def checks_of(lines: "list[Line]") -> "list[InstrumentCheck]":
    """The checks in these summaries of runs, in any order."""
    rows: list[InstrumentCheck] = []
    for line in lines:
        if "instruments" in line:
            rows.extend(line["instruments"]["checks"])
    return rows


def _by_instrument(checks: "list[InstrumentCheck]") -> "dict[str, list[InstrumentCheck]]":
    """The checks of each instrument in order of (at, event)."""
    placed: dict[tuple[str, str, str, int], InstrumentCheck] = {}
    for number, row in enumerate(checks):
        placed[(row["instrument"], row["at"], row["event"], number)] = row
    found: dict[str, list[InstrumentCheck]] = {}
    for key in sorted(placed):
        found.setdefault(key[0], []).append(placed[key])
    return found


def failed(checks: "list[InstrumentCheck]") -> list[str]:
    """The instruments whose last check failed."""
    ordered = _by_instrument(checks)
    return [name for name in sorted(ordered) if not ordered[name][-1]["good"]]


def _key(row: "InstrumentCheck | InstrumentReading | DoubtAnswer") -> tuple[str, str]:
    return (row["at"], row["event"])


def _cause(reading: "InstrumentReading", checks: "list[InstrumentCheck]") -> "InstrumentCheck | None":
    """The failed check that puts a reading in doubt, or None; the earlier one where both sides failed."""
    before, after = None, None
    for row in checks:
        if _key(row) <= _key(reading):
            before = row
        elif after is None:
            after = row
    if before is not None and not before["good"]:
        return before
    if after is not None and not after["good"]:
        return after
    return None


def _name(cards: "list[InstrumentCard]", instrument: str) -> str:
    for card in cards:
        if card["id"] == instrument:
            return str(card["name"])
    return instrument


def found(
    lines: "Sequence[Line]", checks: "list[InstrumentCheck]", cards: "list[InstrumentCard]"
) -> "list[Trouble]":
    """What these runs read with an instrument found out, one trouble a run, runs in order of id.

    `{run, vessel, event, step, person, time, code, text, interlock, answered, readings}`, `readings` rows `{event,
    instrument, text, found}`. The trouble is named by the run's opening, told by who found the instrument out, and
    answered only by an answer that is later than every check and reading it is about.
    """
    ordered = _by_instrument(checks)
    suspect = [name for name in ordered if [row for row in ordered[name] if not row["good"]]]
    if not suspect:
        return []
    rows: dict[str, Trouble] = {}
    for line in lines:
        doubted: dict[tuple[str, str, int], Doubted] = {}
        for number, reading in enumerate(line["instruments"]["read"] if "instruments" in line else []):
            if reading["instrument"] not in suspect:
                continue
            cause = _cause(reading, ordered[reading["instrument"]])
            if cause is not None:
                doubted[(reading["at"], reading["event"], number)] = (reading, cause)
        if doubted:
            rows[line["id"]] = _trouble(line, [doubted[key] for key in sorted(doubted)], cards)
    return [rows[run] for run in sorted(rows)]


def _trouble(line: "Line", doubted: "list[Doubted]", cards: "list[InstrumentCard]") -> "Trouble":
    first = doubted[0][1]
    for _, cause in doubted:
        if _key(cause) < _key(first):
            first = cause
    said: list[DoubtedReading] = []
    names: list[str] = []
    for reading, _ in doubted:
        name = _name(cards, reading["instrument"])
        row: DoubtedReading = {
            "event": reading["event"],
            "instrument": reading["instrument"],
            "text": reading["text"],
            "found": TROUBLES["instrument-doubt"] + name + ". In doubt: " + reading["text"] + ".",
        }
        said.append(row)
        if name not in names:
            names.append(name)
    texts = [row["text"] for row in said[:SHOWN]]
    if len(said) > SHOWN:
        texts.append("and " + str(len(said) - SHOWN) + " more")
    return {
        "run": line["id"],
        "vessel": line["vessel"],
        "event": line["opened"]["event"] if line["opened"] else said[0]["event"],
        "step": None,
        "person": first["person"],
        "time": first["time"],
        "code": "instrument-doubt",
        "text": TROUBLES["instrument-doubt"] + ", ".join(names) + ". In doubt: " + "; ".join(texts) + ".",
        "interlock": None,
        "answered": _answered(line["instruments"].get("answer"), doubted),
        "readings": said,
    }


def _answered(answer: "DoubtAnswer | None", doubted: "list[Doubted]") -> "Answer | None":
    if answer is None:
        return None
    for reading, cause in doubted:
        if _key(answer) < _key(cause) or _key(answer) < _key(reading):
            return None
    return answering.copied(answer)


def states(
    cards: "list[InstrumentCard]", checks: "list[InstrumentCheck]", doubted: "list[Trouble]", now: int
) -> "list[InstrumentView]":
    """How each instrument stands at `now` [ms], in the order of `cards`; `doubted` is what `found` found.

    Rows are the card with `{state: good|due|failed|out, last_good, failed, due, doubt}`, times in ms or None: `failed`
    is the check that stands against it, `due` when the next one is, None before the first. `doubt` rows are `{run,
    vessel, texts, answered}`.
    """
    ordered = _by_instrument(checks)
    rows: list[InstrumentView] = []
    for card in cards:
        mine = ordered.get(card["id"], [])
        good = [check["time"] for check in mine if check["good"]]
        failing = mine[-1]["time"] if mine and not mine[-1]["good"] else None
        due = good[-1] + card["check_days"] * DAY_MS if good else None
        row: InstrumentView = {
            "id": card["id"],
            "name": card["name"],
            "kind": card["kind"],
            "place": card["place"],
            "check_days": card["check_days"],
            "in_use": card["in_use"],
            "state": _state(card, failing, due, now),
            "last_good": good[-1] if good else None,
            "failed": failing,
            "due": due,
            "doubt": [],
        }
        for told in doubted:
            texts = [reading["text"] for reading in told["readings"] if reading["instrument"] == card["id"]]
            if texts:
                about: InstrumentDoubt = {
                    "run": told["run"],
                    "vessel": told["vessel"],
                    "texts": texts,
                    "answered": told["answered"] is not None,
                }
                row["doubt"].append(about)
        rows.append(row)
    return rows


def _state(card: "InstrumentCard", failing: int | None, due: int | None, now: int) -> "InstrumentState":
    if not card["in_use"]:
        return "out"
    if failing is not None:
        return "failed"
    return "due" if due is None or now >= due else "good"


def of_proof(lines: "list[Line]", held: "Held", doubted: "list[Trouble]") -> list[str]:
    """What is in doubt, and not answered for, of the runs that proved a vessel as it stands (`held`), in words.

    A vessel that has been filled since, or is being cleaned, stands on no proof: what was filled was filled.
    """
    proving = []
    for line in lines:
        for row in line.get("life", []):
            if row["what"] == "finished" and _proved(row, held):
                proving.append(line["id"])
    return [told["text"] for told in doubted if told["run"] in proving and told["answered"] is None]


def _proved(row: "Happening", held: "Held") -> bool:
    if held["clean"] is None or held["cleaning"] or held["chemical"]:
        return False
    return row.get("clean") == held["clean"] or row.get("sanitised") == (held["sanitised"] or -1)
