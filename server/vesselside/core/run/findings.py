"""Every finding a record can gain, in one place: code to the words a manager reads."""

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import Finding, FoldFinding, TroubleCode

FINDINGS: "dict[FoldFinding, str]" = {
    "unknown-procedure": "The procedure of this run is not held here.",
    "procedure-differs": "The run names another text of this procedure than the one held here.",
    "not-opened": "The record that opened this run has not arrived.",
    "opened-twice": "The run was opened a second time; the first opening counts.",
    "bad-data": "The record cannot be read as its kind: ",
    "bad-time": "Its time cannot be read; its logical clock stands in its place: ",
    "clock-ahead": "Stamped far ahead of its receipt, which stands in its place: ",
    "seen-ahead": "It says that its phone had seen more of the log than there was: ",
    "taken-out": "The office has taken a text out of this record; its hash stays.",
    "too-many": "More of this than is weighed; it is kept and not believed. ",
    "unauthorised": "Made without the right to do so: ",
    "person-not-proved": "No sign-in on that phone proves this person in the 14 days before, or they had signed out: ",
    "desk-closed": "A review takes a manager's password at a desk that is still open; this one does not stand.",
    "own-work": "Accepted by a person who did some of the work; that takes another, so this review does not stand.",
    "own-work-alone": "Accepted by a person who did some of the work: the site has said that there is nobody else.",
    "unknown-step": "The procedure has no such step: ",
    "unknown-field": "The step has no such field: ",
    "bad-value": "The value is not of the kind asked for: ",
    "typed-differs": "The value is not what was keyed: ",
    "unit-differs": "The unit is not the one asked for: ",
    "verdict-differs": "The rules judge this entry otherwise: ",
    "unjudged": "The entry could not be judged again: ",
    "sum-differs": "The sum comes out otherwise: ",
    "sum-for-reading": "A sum stands where an instrument is to be read: ",
    "instrument-out": "Read with an instrument that was out of use: ",
    "instrument-other": "Read with an instrument of another kind than is asked for: ",
    "from-paper": "Keyed from a paper sheet.",
    "early": "Done before its turn: ",
    "again": "Done a second time: ",
    "skipped": "Skipped, though the procedure does not call it optional: ",
    "done-unready": "Marked done while something was lacking: ",
    "caution-unmet": "The person had not met the cautions of this step: ",
    "hold-short": "The hold was shorter than it must be: ",
    "second-same": "A second signature must come from another person: ",
    "target-unknown": "It names a record that this run does not hold: ",
    "strike-refused": "This strike has no effect: ",
    "void": "It does not count until it is entered again: ",
    "contested": "Two readings disagree and nobody has settled which counts: ",
    "earlier-reopened": "Done on the strength of a step that is open again: ",
    "finished-early": "Finished with steps not done: ",
    "finished-twice": "Finished a second time.",
    "override-refused": "This override has no effect: ",
    "overridden": "An interlock was overridden: ",
    "never-skipped": "A step that nobody may skip was marked skipped, which changes nothing: ",
    "left-chemical": "Stopped past dosing, so the vessel holds chemical whatever else was said of it.",
    "late": "Recorded after the run was closed.",
    "review-lapsed": "The record changed after it was reviewed.",
}

# What no run shows alone, but the life of its vessel or of an instrument does: a finding, and a deviation that is open
# until it is answered.
TROUBLES: "dict[TroubleCode, str]" = {
    "filled-unproved": "Filled though it was not proved fit: ",
    "dosed-filled": "Chemical was put into a vessel that was not known to be empty. ",
    "released-unfit": "Released though it was not shown fit. ",
    "packaged-unfit": "Packaged though it was not shown fit. ",
    "let-go-unknown": "Let go though not all its lots were known. ",
    "held-since": "A periodic check was not good. ",
    "check-missed": "A periodic check was missed. ",
    "instrument-doubt": "Read with an instrument that failed a check: ",
    "review-rejected": "Not accepted at the review. Say what is done about it, and do the work again where it must be.",
}


def finding(code: "FoldFinding", event: str, more: str = "") -> "Finding":
    """One finding, `{code, event, text}`; `more` completes the words of its code."""
    return {"code": code, "event": event, "text": FINDINGS[code] + more}
