"""What changed between two versions of a procedure, as rows a person can read.

A row is `{where, before, after, kind}`, kind one of added, removed, moved, changed; `where` is in words (`Step 3,
Dose the caustic · Strength · Limits · On target, from`). Rows of a list are one and the same when their ids are:
so a step that only moved is one row, not one for every step behind it.
"""

from collections.abc import Iterator, Mapping
from difflib import SequenceMatcher
from typing import Any

from . import yamltext
from .form import Described, described, option

Row = dict[str, str]
_ENDS = ("from", "to")
_PARTED = " · "


def difference(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[Row]:
    """Every difference of content, top to bottom; the version and the hash are not content."""
    return list(_level(described(), _content(before), _content(after), ()))


def _content(procedure: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in procedure.items() if key not in ("version", "sha256")}


def _level(
    rows: list[Described], before: Mapping[str, Any], after: Mapping[str, Any], where: tuple[str, ...]
) -> Iterator[Row]:
    known = {row["id"]: row for row in rows}
    others = [key for key in {**before, **after} if key not in known]
    for key in [*known, *others]:
        old, new = before.get(key), after.get(key)
        if old == new and (key in before) == (key in after):
            continue
        row = known.get(key) or _unnamed(key)
        if row["kind"] == "rows":
            yield from _rows(row, old or [], new or [], where)
        elif row["kind"] == "group" and isinstance(old, Mapping) and isinstance(new, Mapping):
            yield from _level(row["fields"], old, new, (*where, row["label"]))
        elif row["kind"] == "band":
            yield from _band(row, old or [None, None], new or [None, None], where)
        else:
            yield _row((*where, row["label"]), _said(row, old), _said(row, new))


def _unnamed(key: str) -> Described:
    """A field without words of its own is named as in the file."""
    return {"id": key, "label": key, "kind": "block"}


def _row(where: tuple[str, ...], before: str, after: str, kind: str = "") -> Row:
    kind = kind or ("changed" if before and after else "added" if after else "removed")
    return {"where": _PARTED.join(where), "before": before, "after": after, "kind": kind}


def _band(row: Described, old: list[Any], new: list[Any], where: tuple[str, ...]) -> Iterator[Row]:
    for end, was, now in zip(_ENDS, old, new, strict=True):
        if was != now:
            place = (*where, f"{row['label']}, {end}")
            yield _row(place, _bound(was) or "open", _bound(now) or "open", "changed")


def _rows(
    row: Described, old: list[dict[str, Any]], new: list[dict[str, Any]], where: tuple[str, ...]
) -> Iterator[Row]:
    fields = row["fields"]
    was = {_key(item, at): (at, item) for at, item in enumerate(old)}
    now = {_key(item, at): (at, item) for at, item in enumerate(new)}
    moved = _moved([key for key in was if key in now], [key for key in now if key in was])
    for key, (at, item) in was.items():
        if key not in now:
            yield _row((*where, _named(row, at, item)), _told(fields, item), "", "removed")
    for key, (at, item) in now.items():
        place = (*where, _named(row, at, item))
        if key not in was:
            yield _row(place, "", _told(fields, item), "added")
            continue
        if key in moved:
            yield _row(place, f"{row['row']} {was[key][0] + 1}", f"{row['row']} {at + 1}", "moved")
        before, after = was[key][1], item
        if row["id"] == "steps":
            yield from _waiting(old, new, was[key][0], at, place)
            before, after = _less(before, "needs"), _less(after, "needs")
        yield from _level(fields, before, after, place)


def _waiting(
    old: list[dict[str, Any]], new: list[dict[str, Any]], was: int, now: int, where: tuple[str, ...]
) -> Iterator[Row]:
    """What a step waits for, also when only the step before it became another one."""
    before, after = _needs(old, was), _needs(new, now)
    if before != after:
        yield _row((*where, "Waits for"), _titles(old, before), _titles(new, after), "changed")


def _needs(steps: list[dict[str, Any]], at: int) -> list[str]:
    step = steps[at]
    if "needs" in step:
        return list(step["needs"])
    return [] if at == 0 or step.get("anytime") else [steps[at - 1]["id"]]


def _titles(steps: list[dict[str, Any]], ids: list[str]) -> str:
    titles = {step["id"]: step["title"] for step in steps}
    return ", ".join(titles.get(name, name) for name in ids) or "no step"


def _less(item: Mapping[str, Any], key: str) -> dict[str, Any]:
    return {name: value for name, value in item.items() if name != key}


def _key(item: Mapping[str, Any], at: int) -> str:
    return str(item.get("id") or item.get("caution") or at)


def _moved(before: list[str], after: list[str]) -> set[str]:
    """Those that left their place among the rest: the fewest that account for the new order, or nearly."""
    stayed = {
        key
        for match in SequenceMatcher(None, before, after, autojunk=False).get_matching_blocks()
        for key in before[match.a : match.a + match.size]
    }
    return set(after) - stayed


def _named(row: Described, at: int, item: Mapping[str, Any]) -> str:
    name = item.get("title") or item.get("label") or item.get("caution") or item.get("id") or ""
    return f"{row['row']} {at + 1}, {name}"


def _told(fields: list[Described], item: Mapping[str, Any]) -> str:
    """A whole row in one text: each thing it says, by its label."""
    known = {row["id"]: row for row in fields}
    parts = []
    for key, value in item.items():
        row = known.get(key) or _unnamed(key)
        parts.append(f"{row['label']}: {_said(row, value)}")
    return "; ".join(parts)


def _said(row: Described, value: Any) -> str:
    """A value as it is read; empty for one that is not there."""
    if value is None:
        return ""
    kind = row["kind"]
    if kind == "choice":
        return option(str(value))
    if kind in ("many", "cautions", "needs"):
        return ", ".join(option(name) if kind == "many" else name for name in value) or "none"
    if kind == "bound":
        return _bound(value)
    if kind == "band":
        return f"{_bound(value[0]) or 'open'} to {_bound(value[1]) or 'open'}"
    if kind == "rows":
        return ", ".join(str(item.get("title") or item.get("label") or item.get("caution")) for item in value)
    if kind == "group":
        return _told(row["fields"], value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value) if isinstance(value, str | int) else yamltext.flowed(value)


def _bound(value: Any) -> str:
    """A bound in words: the figure, or where it is found."""
    if value is None or isinstance(value, str):
        return value or ""
    kind = next((kind for kind in ("setting", "input", "entry") if kind in value), None)
    if kind is None:
        return yamltext.flowed(value)
    words = {"setting": "site figure", "input": "answer on opening", "entry": "reading"}[kind]
    return f"{words} {value[kind]}" + (f" plus {value['plus']}" if "plus" in value else "")
