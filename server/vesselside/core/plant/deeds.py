"""What a procedure does to its vessel, read off what its steps say of themselves: cleans it, fills it, looks at beer.

A site's own procedures are read as those that came with the app are; none is known here by its name.
"""

from .vessel import PROVED

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import (
        Deed,
        Fact,
        Interlock,
        Line,
        OfferedProcedure,
        Proof,
        VesselKind,
    )


def asks_of(procedure: "OfferedProcedure", kind: "VesselKind") -> "set[Interlock]":
    """The interlocks that its steps ask of their own vessel, where it is of that kind, and that stop."""
    found: set[Interlock] = set()
    for step in procedure["steps"]:
        for ask in step.get("asks", []):
            if "of" not in ask and not ask.get("warns") and kind in ask.get("on", [kind]):
                found.add(ask["interlock"])
    return found


def rinses_first(procedure: "OfferedProcedure") -> bool:
    """Whether it may be begun with the sanitiser still in, and rinses it out."""
    return any([ask.get("full", False) for step in procedure["steps"] for ask in step.get("asks", [])])


def shows(procedure: "OfferedProcedure") -> "list[Fact]":
    """The facts of its gyle that it would show, done to the end."""
    found: list[Fact] = []
    for step in procedure["steps"]:
        found.extend(step.get("shows", []))
    return found


def opens(procedure: "OfferedProcedure") -> bool:
    """Whether the vessel is opened in it."""
    return any([step.get("opens", False) for step in procedure["steps"]])


def sanitises(procedure: "OfferedProcedure") -> bool:
    """Whether it leaves the vessel proved sanitised."""
    return any([step.get("proof") == "sanitised" for step in procedure["steps"]])


def empties(procedure: "OfferedProcedure") -> bool:
    """Whether it takes out what is in its own vessel."""
    return any([bool(step.get("draws")) and "from" not in step["draws"] for step in procedure["steps"]])


def deed(procedure: "OfferedProcedure", kind: "VesselKind") -> "Deed":
    """What a procedure does to a vessel of that kind, in one word, by what its steps say of themselves."""
    if procedure["kind"] == "trouble":
        return "trouble"
    steps, asks = procedure["steps"], asks_of(procedure, kind)
    if procedure["kind"] == "cleaning":
        return _cleaning(procedure)
    if asks & {"add"}:
        return "add"
    if asks & {"fill"}:
        return "fill"
    if any([step.get("checks", False) for step in steps]):
        return "check"
    for step in steps:
        if [ask for ask in step.get("asks", []) if ask.get("of") and ask["interlock"] == "fill"]:
            return "brew"
    if procedure["kind"] == "brew":
        return "dig" if opens(procedure) and procedure.get("leaves") == "soiled" else "other"
    if any([step.get("ends") for step in steps]):
        return "add"
    if procedure.get("leaves") == "filled":
        moves = [step for step in steps if step.get("fills") or step.get("draws")]
        return "look" if set(shows(procedure)) <= {"ph"} and not moves else "beer"
    return "other"


def _cleaning(procedure: "OfferedProcedure") -> "Deed":
    proofs: set[Proof] = set([step["proof"] for step in procedure["steps"] if "proof" in step])
    chemical = [step["chemical"] for step in procedure["steps"] if "chemical" in step]
    if not [proof for proof in PROVED if proof not in proofs]:
        return "clean"
    if chemical and "in" not in chemical:
        return "safe"
    return "sanitise" if sanitises(procedure) and "process" not in proofs else "other"


def alike(line: "Line", procedure: "OfferedProcedure") -> bool:
    """Whether an open run and a procedure are of one kind: the same procedure, or both a clean."""
    if line["status"] != "open" or line.get("elsewhere"):
        return False
    return line.get("procedure") == procedure["id"] or (line["kind"] == procedure["kind"] == "cleaning")
