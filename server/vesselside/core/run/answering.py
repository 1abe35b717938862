"""The answer to a deviation as it is told wherever one is: beside the deviation, in a vessel's life, at instruments."""

from .record import Record

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from vesselside.core.shapes import Answer

_MORE = ("cause", "prevention", "owner", "due")


def told(record: Record) -> "Answer":
    """Who answered when, what was done about it, and what else the answer says."""
    row: Answer = {"event": record.id, "person": record.person, "time": record.time, "action": record.action}
    _more(row, {name: getattr(record, name) for name in _MORE}, record.pending)
    return row


def copied(answer: "Answer") -> "Answer":
    """The same, of one that carries more: its place among other records."""
    row: Answer = {
        "event": answer["event"],
        "person": answer["person"],
        "time": answer["time"],
        "action": answer["action"],
    }
    _more(row, answer, answer.get("pending", False))
    return row


def _more(row: "Any", given: "Any", pending: bool) -> None:
    for name in _MORE:
        if given.get(name):
            row[name] = given[name]
    if pending:
        row["pending"] = True
