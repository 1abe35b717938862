"""What the editor of procedures is told: its form, what it may choose from, what differs; never imported.

The OpenAPI document and the TypeScript types are made from this file too.
"""

from typing import Literal, NotRequired, TypedDict

from vesselside.core.shapes import CautionGroup, FieldFault

FormKind = Literal[
    "line", "text", "name", "choice", "whole", "flag", "many", "cautions", "caution", "needs", "bound", "band",
    "group", "rows", "block",
]  # fmt: skip
ChangeKind = Literal["added", "removed", "moved", "changed"]

class Fault(FieldFault):
    """What is wrong at a field, `steps.3.title` say; `line` only where a file was read."""

    line: NotRequired[int]

class FormField(TypedDict):
    """One field of the form; `fields` inside rows and groups; with `when` it is asked only of rows of these kinds."""

    id: str
    label: str
    help: str
    required: bool
    kind: FormKind
    longest: NotRequired[int]
    blank: NotRequired[bool]
    options: NotRequired[list[tuple[str, str]]]
    row: NotRequired[str]
    when: NotRequired[list[str]]
    fields: NotRequired[list["FormField"]]  # noqa: UP037  # the stub is read as Python too

class CautionChoice(TypedDict):
    """A caution that a step may name."""

    id: str
    title: str
    group: CautionGroup

class CalculationInput(TypedDict):
    """What a calculation is given."""

    id: str
    label: str
    unit: str

class CalculationChoice(TypedDict):
    """A calculation that an entry may be worked out by: what it is given, and the names of what it gives."""

    name: str
    title: str
    inputs: list[CalculationInput]
    results: list[str]

class Change(TypedDict):
    """One difference between two versions, `where` in words."""

    where: str
    before: str
    after: str
    kind: ChangeKind
