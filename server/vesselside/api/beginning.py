"""`/api/brewery`: whether this server has a brewery, and beginning its first."""

from typing import Any

from marshmallow import fields

from vesselside import library, store
from vesselside.store import kept
from vesselside.store.base.db import now_ms
from vesselside.store.site import beginning, founding

from .bodies import Blueprint
from .documents import Lenient, answers, text_field
from .watch import address

blueprint = Blueprint("beginning", __name__, url_prefix="/api", description="Beginning the first brewery")


class Begins(Lenient):
    """Whether there is a brewery here."""

    begun = fields.Boolean(required=True)


class Beginning(Lenient):
    """The brewery and its first manager, with the code that the server printed when it was started."""

    code = text_field(64, 0, required=True)
    name = text_field(80, required=True, metadata={"description": "What the brewery is called"})
    manager = text_field(80, required=True, metadata={"description": "The manager's name"})
    pin = text_field(64, required=True)
    password = text_field(1000, required=True)
    device = text_field(80, required=True, metadata={"description": "What this browser is to be called"})


class Begun(Lenient):
    """The brewery, its manager, and a code with which this browser is enrolled."""

    brewery = fields.String(required=True)
    person = fields.String(required=True)
    code = fields.String(required=True)


@blueprint.route("/brewery", methods=["GET"])
@answers(blueprint)
@blueprint.response(200, Begins)
def is_begun() -> dict[str, bool]:
    """Whether there is a brewery here; anybody may know"""
    return {"begun": bool(founding.breweries())}


@blueprint.route("/brewery", methods=["POST"])
@answers(blueprint, 400, 403, 413, 422, 429)
@blueprint.arguments(Beginning)
@blueprint.response(201, Begun)
def begin(sent: dict[str, Any]) -> Any:
    """Begin the first brewery, with the library that ships"""
    made = beginning.begin(kept().keys, sent.pop("code"), address=address(), now=now_ms(), **sent)
    shipped = library.load()
    store.publish_library(made.brewery, shipped.procedures, shipped.cautions)
    return {"brewery": made.brewery, "person": made.person, "code": made.code}
