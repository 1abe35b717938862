"""The shape of each library file, field by field. What the fields refer to is judged in `references`."""

import re
from collections.abc import Mapping
from typing import Any

from marshmallow import EXCLUDE, Schema, ValidationError, fields, validate, validates_schema

from vesselside.core.brew import moves
from vesselside.core.plant import fitness, states
from vesselside.core.run import procedure

from . import terms
from .faults import suggestion

DECIMAL = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?")
_ID = validate.Regexp(
    r"^[a-z0-9-]{1,64}$", error="must be lower-case letters, digits and hyphens, at most 64"
)
_BOUNDS: dict[str, tuple[set[str], set[str]]] = {
    "setting": ({"setting"}, {"plus"}),
    "input": ({"input"}, {"plus"}),
    "entry": ({"entry"}, {"plus"}),
    "calculation": ({"calculation", "inputs"}, {"result"}),
}
_TABLE = {"series": ({"series"}, set[str]())}


class Shape(Schema):
    """A mapping that refuses a field it does not know, and guesses which one was meant."""

    class Meta:
        unknown = EXCLUDE

    def on_bind_field(self, field_name: str, field_obj: fields.Field[Any]) -> None:
        """Say in our own words that a field is not there."""
        field_obj.error_messages["required"] = "Missing."

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def _known(self, _data: Any, original: Any, **_: Any) -> None:
        known = [field.data_key or name for name, field in self.fields.items()]
        if isinstance(original, Mapping):
            unknown = {
                key: ["unknown field" + suggestion(key, known)] for key in original if key not in known
            }
            if unknown:
                raise ValidationError(unknown)


class Words(fields.String):
    """Plain text for people: not empty, no markup, no control characters."""

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> str:
        text = super()._deserialize(value, *args, **kwargs)
        if not text.strip():
            raise ValidationError("must say something")
        if re.search(r"[<>\x00-\x08\x0b-\x1f]", text):
            raise ValidationError("must be plain text, without < or > or control characters")
        return text.strip()


class Bound(fields.Field[Any]):
    """A number as decimal text, or where to find it: a setting, an input, an entry or a calculation."""

    kinds = _BOUNDS

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if isinstance(value, str):
            if not DECIMAL.fullmatch(value):
                raise ValidationError(f"{value!r} is not a decimal number")
            return value
        if not isinstance(value, Mapping):
            raise ValidationError("must be a decimal number or one of " + ", ".join(self.kinds))
        kind = next((kind for kind in self.kinds if kind in value), None)
        if kind is None:
            raise ValidationError("must name one of " + ", ".join(self.kinds))
        needed, allowed = self.kinds[kind]
        for key in value:
            if key not in needed | allowed:
                raise ValidationError(f"unknown field {key}" + suggestion(key, needed | allowed))
        for key in needed - set(value):
            raise ValidationError(f"{key} is missing")
        return {key: self._part(key, part) for key, part in value.items()}

    def _part(self, key: str, part: Any) -> Any:
        if key == "inputs":
            if not isinstance(part, Mapping):
                raise ValidationError("inputs must name each input and its bound")
            given = Given()
            return {name: given.deserialize(bound) for name, bound in part.items()}
        if key == "series" and isinstance(part, list) and part and all(isinstance(row, str) for row in part):
            return part
        if not isinstance(part, str) or (key == "plus" and not DECIMAL.fullmatch(part)):
            raise ValidationError(f"{key} must be " + ("a decimal number" if key == "plus" else "a name"))
        return part


class Given(Bound):
    """What a calculation is given: a bound, the id of one of its choices, or all values of one or more series."""

    kinds = _BOUNDS | _TABLE

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> Any:
        if isinstance(value, str) and re.fullmatch(r"[a-z][a-z0-9-]*", value):
            return value
        return super()._deserialize(value, *args, **kwargs)


def _one_of(names: tuple[str, ...]) -> validate.OneOf:
    return validate.OneOf(names, error="{input} is not one of " + ", ".join(names))


def _id() -> fields.String:
    return fields.String(required=True, validate=_ID)


def _ids() -> fields.List[str]:
    return fields.List(fields.String(validate=_ID))


def _text(*, required: bool = True, longest: int = 600) -> Words:
    return Words(required=required, validate=validate.Length(max=longest))


def _unit() -> fields.String:
    """A unit as it is shown; empty text says that the number has none, such as a specific gravity."""
    return fields.String(validate=validate.Length(max=16))


def _places() -> fields.Integer:
    return fields.Integer(validate=validate.Range(0, 4))


class Setting(Shape):
    """A site figure with its default and where that comes from."""

    id = _id()
    label = _text(longest=80)
    unit = _unit()
    default = fields.String(required=True)
    source = _text()


class Input(Shape):
    """Asked, or filled from the vessel, the recipe or its brew sheet, when a run is opened."""

    id = _id()
    label = _text(longest=80)
    unit = _unit()
    kind = fields.String(required=True, validate=_one_of(("reading", "text")))
    places = _places()
    default = fields.String()
    filled = fields.String(
        data_key="from",
        attribute="from",
        validate=validate.Regexp(
            r"^((vessel|recipe)\.[a-z0-9_]+|sheet\.[a-z0-9-]+)$",
            error="must be vessel.<name>, recipe.<name> or sheet.<line>",
        ),
    )


class Option(Shape):
    """One answer to a choice, and what it means."""

    id = _id()
    label = _text(longest=80)
    verdict = fields.String(required=True, validate=_one_of(terms.VERDICTS))
    advice = _text(required=False)


class Limits(Shape):
    """Three bands: inside `target`; between it and `stop`; outside `stop`."""

    target = fields.List(Bound(allow_none=True), validate=validate.Length(equal=2), required=True)
    stop = fields.List(Bound(allow_none=True), validate=validate.Length(equal=2))
    low = _text(required=False)
    high = _text(required=False)
    halt = _text(required=False)
    source = _text()


class Raise(Shape):
    """A reading beyond a bound raises a caution at once."""

    above = Bound()
    below = Bound()
    caution = _id()


class Works(Shape):
    """The calculation that proposes this entry, and what feeds it."""

    calculation = _id()
    inputs = fields.Dict(keys=fields.String(), values=Given(), required=True)
    result = fields.String()
    proposes = fields.Boolean(required=True)


class Entry(Shape):
    """One thing to write down at a step."""

    id = _id()
    label = _text(longest=80)
    kind = fields.String(required=True, validate=_one_of(terms.ENTRY_KINDS))
    unit = _unit()
    places = _places()
    series = fields.Boolean()
    least = fields.Integer(validate=validate.Range(min=2, max=100))
    optional = fields.Boolean()
    instrument = fields.String(validate=_one_of(terms.INSTRUMENTS))
    verifies = fields.Boolean()
    measures = fields.String(validate=_ID)
    options = fields.List(fields.Nested(Option), validate=validate.Length(min=2))
    limits = fields.Nested(Limits)
    raises = fields.List(fields.Nested(Raise))
    works = fields.Nested(Works)
    renews = _ids()


class Ask(Shape):
    """An interlock a step asks: of the run's own vessel, or of the one named; to stop, or to warn.

    `full`: a line may stand full of the sanitiser it was proved with, for the run to rinse out.
    """

    interlock = fields.String(required=True, validate=_one_of(tuple(procedure.INTERLOCKS)))
    of = fields.String()
    warns = fields.Boolean()
    full = fields.Boolean()
    on = fields.List(fields.String(validate=_one_of(terms.VESSEL_KINDS)), validate=validate.Length(min=1))


class Answered(Shape):
    """A choice and those of its answers that are meant."""

    entry = fields.String(required=True)
    answers = fields.List(
        fields.String(validate=_ID),
        data_key="is",
        attribute="is",
        required=True,
        validate=validate.Length(min=1),
    )


class Left(Shape):
    """The volume that left a vessel: as read or measured, or what it held before less what is left in it."""

    entry = fields.String()
    measure = fields.String(validate=_ID)
    held = fields.String()
    left = fields.String()


class Draws(Shape):
    """What the step, done, has taken out of a vessel: of the run's own, or of the one of these kinds with this gyle."""

    kinds = fields.List(
        fields.String(validate=_one_of(terms.VESSEL_KINDS)),
        data_key="from",
        attribute="from",
        validate=validate.Length(min=1),
    )
    named = fields.String()
    gyle = fields.String()
    when = fields.Nested(Answered)
    leaves = fields.String(validate=_one_of(states.STATES))
    move = fields.String(validate=_one_of(tuple(moves.MOVES)))
    out = fields.Nested(Left)
    arrived = fields.String(data_key="in", attribute="in")
    total = fields.String()


class Hold(Shape):
    """The least time a step must last."""

    seconds = Bound(required=True)


class Step(Shape):
    """One step, in the order a careful brewer does it."""

    id = _id()
    title = _text(longest=90)
    why = _text()
    how = _text(longest=900)
    who = fields.String(validate=_one_of(terms.SIGNERS))
    critical = fields.Boolean()
    cautions = _ids()
    needs = _ids()
    anytime = fields.Boolean()
    optional = fields.Boolean()
    hold = fields.Nested(Hold)
    proof = fields.String(validate=_one_of(terms.PROOFS))
    asks = fields.List(fields.Nested(Ask), validate=validate.Length(min=1))
    fills = fields.Boolean()
    draws = fields.Nested(Draws)
    chemical = fields.String(validate=_one_of(("in", "out")))
    opens = fields.Boolean()
    never_locked = fields.Boolean()
    shows = fields.List(fields.String(validate=_one_of(tuple(fitness.FACTS))))
    ends = fields.List(fields.String(validate=_one_of(tuple(fitness.FACTS))), validate=validate.Length(min=1))
    readies = fields.Boolean()
    checks = fields.Boolean()
    entries = fields.List(fields.Nested(Entry))


class Procedure(Shape):
    """A whole procedure file."""

    id = _id()
    version = fields.Integer(required=True, validate=validate.Range(min=1, max=9999))
    title = _text(longest=90)
    kind = fields.String(required=True, validate=_one_of(terms.KINDS))
    vessel_kinds = fields.List(fields.String(validate=_one_of(terms.VESSEL_KINDS)), required=True)
    summary = _text()
    leaves = fields.String(validate=_one_of(states.STATES))
    settings = fields.List(fields.Nested(Setting))
    inputs = fields.List(fields.Nested(Input))
    steps = fields.List(fields.Nested(Step), required=True, validate=validate.Length(min=1))


class Caution(Shape):
    """A whole caution file."""

    id = _id()
    version = fields.Integer(required=True, validate=validate.Range(min=1))
    title = _text(longest=90)
    group = fields.String(required=True, validate=_one_of(terms.CAUTION_GROUPS))
    hazard = _text()
    effect = _text()
    wear = fields.List(_text(), required=True)
    first = fields.List(_text(), required=True, validate=validate.Length(min=1))
    minute = fields.List(_text(), required=True, validate=validate.Length(min=1))
    seen = fields.List(_text(longest=60), required=True, validate=validate.Length(min=1))
    pictograms = fields.List(fields.String(validate=_one_of(terms.PICTOGRAMS)), required=True)
    codes = fields.List(_text(), required=True)
    sources = fields.List(_text(), required=True, validate=validate.Length(min=1))
    defer = _text()
    alarm = fields.Boolean(required=True)
    emergency = fields.Integer(validate=validate.Range(min=1, max=20))  # its place among the emergencies
