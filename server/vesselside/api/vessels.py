"""`/api/desk/vessels`: listing a vessel or a line, and changing what is written of one."""

from typing import Any, ClassVar

from marshmallow import INCLUDE, Schema, fields

from vesselside.core.plant.cards import KINDS
from vesselside.store import book
from vesselside.store.base.db import now_ms
from vesselside.store.read import register
from vesselside.store.site import people, siting
from vesselside.store.site.devices import Credential

from .bodies import Blueprint
from .credentials import by_manager
from .documents import Lenient, answers, text_field

blueprint = Blueprint("vessels", __name__, url_prefix="/api/desk/vessels", description="Vessels")


def _figure(said: str) -> fields.Raw:
    return fields.Raw(metadata={"type": "string", "maxLength": 24, "description": said})


class VesselDraft(Schema):
    """A vessel by the name on it; the core judges it, and `errors` of the problem names the fields."""

    class Meta:
        unknown = INCLUDE
        stated: ClassVar = {"required": ["name", "kind"]}

    name = text_field(200, 0, metadata={"minLength": 1, "maxLength": 60})
    place = text_field(200, 0, metadata={"maxLength": 60})
    kind = fields.Raw(metadata={"type": "string", "enum": list(KINDS), "description": "It never changes"})
    capacity_l = _figure("Volume of the whole vessel [L]")
    charge_l = _figure("Volume of a cleaning charge [L]")
    diameter_m = _figure("Inside diameter [m]")
    brews = _figure("How many brews fill it")
    in_use = fields.Raw(metadata={"type": "boolean", "description": "false when it is gone"})


class Vessel(Lenient):
    """A vessel as it is kept; what its plate says only where that is known."""

    id = fields.String(required=True)
    name = fields.String(required=True)
    kind = fields.String(required=True)
    place = fields.String(required=True)
    capacity_l = fields.String()
    charge_l = fields.String()
    diameter_m = fields.String()
    brews = fields.String()
    in_use = fields.Boolean(metadata={"description": "false when it is gone, else not there"})


UNSAFE = ("chemical", "cleaning", "co2", "filled", "hold", "hot", "locked", "pressure")
"""States in which a vessel is not put out of use: nobody would see them any more."""


def _safe_to_go(brewery: str, vessel: str) -> None:
    for row in register.board(brewery, now=now_ms()):
        if row["id"] == vessel and (row["state"] in UNSAFE or row["chemical"] is not None):
            text = "By its record it is not empty and safe. Finish what runs on it, empty it and make it safe first."
            raise siting.VesselError([{"field": "in_use", "text": text}])


@blueprint.route("/<vessel>", methods=["PUT"])
@answers(blueprint, 400, 401, 403, 413, 422)
@by_manager
@blueprint.arguments(VesselDraft)
@blueprint.response(200, Vessel)
def change_vessel(credential: Credential, session: people.Session, sent: dict[str, Any], vessel: str) -> Any:
    """List a vessel, or change one; the same again changes nothing"""
    if sent.get("in_use") is False:
        _safe_to_go(credential.brewery, vessel)
    return siting.change_vessel(book(credential.brewery), {**sent, "id": vessel}, by=session.person)
