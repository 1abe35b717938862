"""`/api/instruments`: the site's instruments, how each stands by its checks, and what a failed one put in doubt."""

from typing import Any, ClassVar

from marshmallow import INCLUDE, Schema, fields

from vesselside.core.run.instruments import KINDS, LONGEST_DAYS
from vesselside.store import book, kept
from vesselside.store.base.db import now_ms
from vesselside.store.site import instruments, people
from vesselside.store.site.devices import Credential

from .bodies import Blueprint
from .credentials import by_device, by_manager
from .documents import Lenient, answers, behind_field, text_field
from .shaped import many

blueprint = Blueprint("instruments", __name__, url_prefix="/api/instruments", description="Instruments")


class Instruments(Lenient):
    """Every instrument with its state, by kind and name, and the kinds there are."""

    instruments = many("InstrumentStanding")
    kinds = fields.List(fields.String(), required=True)
    behind = behind_field()


class InstrumentDraft(Schema):
    """An instrument by the name on its tag; the core judges it, and `errors` of the problem names the fields."""

    class Meta:
        unknown = INCLUDE
        stated: ClassVar = {"required": ["name", "kind", "check_days"]}

    name = text_field(200, 0, metadata={"minLength": 1, "maxLength": 60})
    place = text_field(200, 0, metadata={"maxLength": 60})
    kind = fields.Raw(metadata={"type": "string", "enum": list(KINDS), "description": "It never changes"})
    check_days = fields.Raw(
        metadata={
            "type": "integer",
            "minimum": 1,
            "maximum": LONGEST_DAYS,
            "description": "Every how many days it is checked",
        }
    )
    in_use = fields.Raw(metadata={"type": "boolean", "description": "false when it is out of use"})


class Instrument(Lenient):
    """An instrument as it is kept."""

    id = fields.String(required=True)
    name = fields.String(required=True)
    kind = fields.String(required=True)
    place = fields.String(required=True)
    check_days = fields.Integer(required=True)
    in_use = fields.Boolean(required=True)


@blueprint.route("", methods=["GET"])
@answers(blueprint, 401)
@by_device
@blueprint.response(200, Instruments)
def list_instruments(credential: Credential) -> dict[str, Any]:
    """Every instrument: good, due, failed or out of use; its last good check; what it put in doubt"""
    brewery = credential.brewery
    behind = kept().folder.settled(brewery)
    return {
        "instruments": instruments.standing(brewery, now=now_ms()),
        "kinds": list(KINDS),
        "behind": behind,
    }


@blueprint.route("/<instrument>", methods=["PUT"])
@answers(blueprint, 400, 401, 403, 413, 422)
@by_manager
@blueprint.arguments(InstrumentDraft)
@blueprint.response(200, Instrument)
def change_instrument(
    credential: Credential, session: people.Session, sent: dict[str, Any], instrument: str
) -> Any:
    """List an instrument, or change one; the same again changes nothing"""
    return instruments.change_instrument(
        book(credential.brewery), {**sent, "id": instrument}, by=session.person
    )
