"""What the checks of all runs say of each instrument, and which readings a failed one puts in doubt.

A reading is in doubt when the check next before it failed, or the check next after it did: an instrument found out was
wrong since nobody knows when, back to its last good check, and stays so until it is good again. A later good check
mends the instrument, not the readings made before it was found out. Order of arrival changes nothing.
"""

from vesselside.core.run.findings import TROUBLES

DAY_MS = 86_400_000
SHOWN = 3


def checks_of(lines: list[dict]) -> list[dict]:
    """The checks in these summaries of runs, in any order."""
    rows = []
    for line in lines:
        rows.extend(line.get("instruments", {}).get("checks", []))
    return rows


def _by_instrument(checks: list[dict]) -> dict:
    """The checks of each instrument in order of (at, event)."""
    placed: dict = {}
    for number, row in enumerate(checks):
        placed[(row["instrument"], row["at"], row["event"], number)] = row
    found: dict = {}
    for key in sorted(placed):
        found.setdefault(key[0], []).append(placed[key])
    return found


def failed(checks: list[dict]) -> list[str]:
    """The instruments whose last check failed."""
    ordered = _by_instrument(checks)
    return [name for name in sorted(ordered) if not ordered[name][-1]["good"]]


def _key(row: dict) -> tuple[str, str]:
    return (row["at"], row["event"])


def _cause(reading: dict, checks: list[dict]) -> dict | None:
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


def _name(cards: list[dict], instrument: str) -> str:
    for card in cards:
        if card["id"] == instrument:
            return str(card["name"])
    return instrument


def found(lines: list[dict], checks: list[dict], cards: list[dict]) -> list[dict]:
    """What these runs read with an instrument found out, one trouble a run, runs in order of id.

    `{run, vessel, event, step, person, time, code, text, interlock, answered, readings}`, `readings` rows `{event,
    instrument, text, found}`. The trouble is named by the run's opening, told by who found the instrument out, and
    answered only by an answer that is later than every check and reading it is about.
    """
    ordered = _by_instrument(checks)
    suspect = [name for name in ordered if [row for row in ordered[name] if not row["good"]]]
    if not suspect:
        return []
    rows: dict = {}
    for line in lines:
        doubted: dict = {}
        for number, reading in enumerate(line.get("instruments", {}).get("read", [])):
            if reading["instrument"] not in suspect:
                continue
            cause = _cause(reading, ordered[reading["instrument"]])
            if cause is not None:
                doubted[(reading["at"], reading["event"], number)] = (reading, cause)
        if doubted:
            rows[line["id"]] = _trouble(line, [doubted[key] for key in sorted(doubted)], cards)
    return [rows[run] for run in sorted(rows)]


def _trouble(line: dict, doubted: list, cards: list[dict]) -> dict:
    first = doubted[0][1]
    for _, cause in doubted:
        if _key(cause) < _key(first):
            first = cause
    said = []
    names = []
    for reading, _ in doubted:
        name = _name(cards, reading["instrument"])
        row = {"event": reading["event"], "instrument": reading["instrument"], "text": reading["text"]}
        row["found"] = TROUBLES["instrument-doubt"] + name + ". In doubt: " + reading["text"] + "."
        said.append(row)
        if name not in names:
            names.append(name)
    texts = [row["text"] for row in said[:SHOWN]]
    if len(said) > SHOWN:
        texts.append("and " + str(len(said) - SHOWN) + " more")
    told = {
        "run": line["id"],
        "vessel": line["vessel"],
        "code": "instrument-doubt",
        "step": None,
        "interlock": None,
    }
    told["event"] = line["opened"]["event"] if line["opened"] else said[0]["event"]
    told["person"], told["time"] = first["person"], first["time"]
    told["text"] = TROUBLES["instrument-doubt"] + ", ".join(names) + ". In doubt: " + "; ".join(texts) + "."
    told["readings"] = said
    told["answered"] = _answered(line["instruments"].get("answer"), doubted)
    return told


def _answered(answer: dict | None, doubted: list) -> dict | None:
    if answer is None:
        return None
    for reading, cause in doubted:
        if _key(answer) < _key(cause) or _key(answer) < _key(reading):
            return None
    return {
        "event": answer["event"],
        "person": answer["person"],
        "time": answer["time"],
        "action": answer["action"],
    }


def states(cards: list[dict], checks: list[dict], doubted: list[dict], now: int) -> list[dict]:
    """How each instrument stands at `now` [ms], in the order of `cards`; `doubted` is what `found` found.

    Rows are the card with `{state: good|due|failed|out, last_good, failed, due, doubt}`, times in ms or None: `failed`
    is the check that stands against it, `due` when the next one is, None before the first. `doubt` rows are `{run,
    vessel, texts, answered}`.
    """
    ordered = _by_instrument(checks)
    rows = []
    for card in cards:
        mine = ordered.get(card["id"], [])
        good = [row["time"] for row in mine if row["good"]]
        row = dict(card)
        row["last_good"] = good[-1] if good else None
        row["failed"] = mine[-1]["time"] if mine and not mine[-1]["good"] else None
        row["due"] = good[-1] + card["check_days"] * DAY_MS if good else None
        row["state"] = _state(row, now)
        row["doubt"] = []
        for told in doubted:
            texts = [reading["text"] for reading in told["readings"] if reading["instrument"] == card["id"]]
            if texts:
                about = {"run": told["run"], "vessel": told["vessel"], "texts": texts}
                about["answered"] = told["answered"] is not None
                row["doubt"].append(about)
        rows.append(row)
    return rows


def _state(row: dict, now: int) -> str:
    if not row["in_use"]:
        return "out"
    if row["failed"] is not None:
        return "failed"
    return "due" if row["due"] is None or now >= row["due"] else "good"


def of_proof(lines: list[dict], held: dict, doubted: list[dict]) -> list[str]:
    """What is in doubt, and not answered for, of the runs that proved a vessel as it stands (`held`), in words.

    A vessel that has been filled since, or is being cleaned, stands on no proof: what was filled was filled.
    """
    proving = []
    for line in lines:
        for row in line.get("life", []):
            if row["what"] == "finished" and _proved(row, held):
                proving.append(line["id"])
    return [told["text"] for told in doubted if told["run"] in proving and told["answered"] is None]


def _proved(row: dict, held: dict) -> bool:
    if held["clean"] is None or held["cleaning"] or held["chemical"]:
        return False
    return row.get("clean") == held["clean"] or row.get("sanitised") == (held["sanitised"] or -1)
