"""Judging what was entered: bounds resolved from settings, inputs, other entries and sums; three bands."""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import calculations

from .events import is_count

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Mapping

    from vesselside.core.shapes import Bands, Entry, Judgement, Limits, Verdict, Working, Works

ORDER = {"target": 0, "advise": 1, "stop": 2}


def worse(first: "Verdict", second: "Verdict") -> "Verdict":
    """The worse of two verdicts, in the order target, advise, stop."""
    return first if ORDER.get(first, 0) >= ORDER.get(second, 0) else second


# results worked out before, as text: (calculation, result, its inputs in order) to the values
_WORKED: dict[tuple[object, ...], list[str]] = {}
_KEPT = 64
_BOUNDLESS: "Limits" = {"target": [None, None], "source": ""}


def _values(
    calculation: str, wanted: str | None, unit: str | None, given: "Mapping[str, object]"
) -> list[str]:
    """The results of a sum: the one that is wanted (None: the main one), or with `unit` every number in it.

    A sum over a log of readings is dear, and a run that is folded again asks for the same ones again.
    """
    key = (calculation, wanted, unit, tuple([(name, str(given[name])) for name in sorted(given)]))
    known = _WORKED.get(key)
    if known is None:
        known = _results(calculation, wanted, unit, calculations.work(calculation, given))
        if len(_WORKED) >= _KEPT:
            _WORKED.clear()
        _WORKED[key] = known
    return list(known)


def _results(calculation: str, wanted: str | None, unit: str | None, working: "Working") -> list[str]:
    found = working["results"]
    if unit is None:
        return [_result(working, wanted)]
    rows = calculations.find(calculation)["results"]
    return [found[n]["value"] for n in range(len(rows)) if rows[n][2] == unit and rows[n][3] is not None]


def resolve(bound: object, sight: object) -> str:
    """The decimal text a BOUND stands for.

    `sight` answers `setting(id)`, `input(id)`, `entry("step.field")` and `series("step.field")` with text or None;
    `series` takes several names too, one for each column.
    CoreError `limit-needs` names what is not known yet.
    """
    if isinstance(bound, str):
        return bound
    if is_count(bound):
        return str(bound)
    if not isinstance(bound, dict):
        raise CoreError("bad-procedure", "A limit of this procedure cannot be read.")
    if "calculation" in bound:
        given: dict[str, object] = {}
        inputs = bound.get("inputs", {})
        for name in inputs:
            given[name] = resolve(inputs[name], sight)
        return _values(bound["calculation"], bound.get("result"), None, given)[0]
    text = None
    what = "?"
    for source in ("setting", "input", "entry", "series"):
        if source in bound:
            what = bound[source]
            text = getattr(sight, source)(what)
    if text is None:
        names = [what] if isinstance(what, str) else what
        said = "; ".join([_plain(name) for name in names])
        raise CoreError("limit-needs", "First needed: " + said, field=names[0])
    plus = bound.get("plus")
    return text if plus is None else numbers.plus(text, plus)


def _plain(name: str) -> str:
    return name.replace(".", ", ").replace("-", " ").replace("_", " ")


def _result(working: "Working", wanted: str | None) -> str:
    for row in working["results"]:
        if wanted is None or row["id"] == wanted:
            return row["value"]
    raise CoreError("bad-procedure", "The sum has no result called " + str(wanted))


def work(entry: "Entry", sight: object, values: "Mapping[str, object]") -> "Working":
    """The working behind a worked entry; `values` holds what the person gave for inputs left open."""
    works = entry.get("works")
    if works is None:
        raise CoreError("no-sum", "This entry has no sum behind it.")
    return calculations.work(works["calculation"], _given(works, sight, values))


def _given(works: "Works", sight: object, values: "Mapping[str, object]") -> dict[str, object]:
    given = dict(values)
    inputs = works.get("inputs", {})
    for name in inputs:
        if name not in given:
            given[name] = resolve(inputs[name], sight)
    return given


def again(entry: "Entry", sight: object, calculation: object, given: "Mapping[str, object]") -> list[str]:
    """The values a recorded sum stands for in `entry`, worked again from the inputs of its record, decimal texts.

    The sum behind the entry gives the one result the procedure names; a sum brought to it may give any of its numbers
    in the entry's unit, as the record names no result. CoreError as the sum refuses, `unknown-calculation` included.
    """
    works = entry.get("works")
    if works is not None and calculation in (None, works["calculation"]):
        return _values(works["calculation"], works.get("result"), None, _given(works, sight, given))
    return _values(str(calculation), None, entry.get("unit", ""), given)


def judge(entry: "Entry", typed: str, sight: object) -> "Judgement":
    """Judge one entry: `{value, verdict, advice, limit, source, raises}`.

    CoreError when the text is no value of this kind, or a limit rests on something not known yet.
    """
    kind = entry["kind"]
    if kind in ("reading", "count"):
        return _judge_number(entry, typed, sight)
    if kind == "choice":
        for option in entry.get("options", []):
            if option["id"] == typed:
                advice = option.get("advice", "")
                return _judged(typed, option.get("verdict", "target"), advice, "", "", [])
        raise CoreError("no-such-choice", "Choose one of the answers shown.", field=entry["id"])
    text = typed.strip()
    if not text:
        raise CoreError("empty", "Nothing was entered.", field=entry["id"])
    if len(text) > 500:
        raise CoreError("too-long", "Keep it under 500 characters.", field=entry["id"])
    return _judged(text, "target", "", "", "", [])


def _judged(
    value: str, verdict: "Verdict", advice: str, limit: str, source: str, raises: list[str]
) -> "Judgement":
    return {
        "value": value,
        "verdict": verdict,
        "advice": advice,
        "limit": limit,
        "source": source,
        "raises": raises,
    }


def _ends(pair: object, sight: object) -> tuple[str | None, str | None]:
    if not isinstance(pair, list) or len(pair) != 2:
        return (None, None)
    low = None if pair[0] is None else resolve(pair[0], sight)
    high = None if pair[1] is None else resolve(pair[1], sight)
    return (low, high)


def _below(value: str, end: str | None) -> bool:
    return end is not None and numbers.compare(value, end) < 0


def _above(value: str, end: str | None) -> bool:
    return end is not None and numbers.compare(value, end) > 0


def _shown(low: str | None, high: str | None, unit: str) -> str:
    tail = " " + unit if unit else ""
    if low is not None and high is not None:
        return low + " to " + high + tail
    if low is not None:
        return "at least " + low + tail
    if high is not None:
        return "at most " + high + tail
    return ""


def bands(entry: "Entry", sight: object) -> "Bands":
    """The bands of a reading as words, `{target, stop, source}`, for showing beside the entry."""
    limits = entry.get("limits") or _BOUNDLESS
    unit = entry.get("unit", "")
    target = _ends(limits["target"], sight)
    stop = _ends(limits.get("stop"), sight)
    return {
        "target": _shown(target[0], target[1], unit),
        "stop": _shown(stop[0], stop[1], unit),
        "source": limits["source"],
    }


def _judge_number(entry: "Entry", typed: str, sight: object) -> "Judgement":
    value = numbers.parse(typed)
    if entry["kind"] == "count" and ("." in value or value[:1] == "-"):
        raise CoreError("not-a-count", "This is a count: a whole number.", field=entry["id"])
    limits = entry.get("limits") or _BOUNDLESS
    low, high = _ends(limits["target"], sight)
    bottom, top = _ends(limits.get("stop"), sight)
    verdict: Verdict
    if _below(value, bottom) or _above(value, top):
        verdict = "stop"
        advice = limits.get("halt", "")
    elif _below(value, low) or _above(value, high):
        verdict = "advise"
        advice = ""
    else:
        verdict = "target"
        advice = ""
    if verdict != "target" and not advice:
        under = _below(value, low) or (low is None and _below(value, bottom))
        advice = limits.get("low", "") if under else limits.get("high", "")
    raises = []
    for row in entry.get("raises", []):
        above, below = row.get("above"), row.get("below")
        if above is not None and _above(value, resolve(above, sight)):
            raises.append(row["caution"])
        elif below is not None and _below(value, resolve(below, sight)):
            raises.append(row["caution"])
    limit = _shown(low, high, entry.get("unit", "")) or _shown(bottom, top, entry.get("unit", ""))
    return _judged(value, verdict, advice, limit, limits["source"], raises)
