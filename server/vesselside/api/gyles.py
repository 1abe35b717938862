"""`/api/gyles`: what was brewed, and each gyle planned against actual."""

from typing import Any

from marshmallow import fields, validate

from vesselside.core.run.events import is_id
from vesselside.store import kept
from vesselside.store.read import gyles
from vesselside.store.site.devices import Credential

from .bodies import Blueprint
from .credentials import by_device
from .documents import Lenient, answers, behind_field
from .errors import ProblemError
from .shaped import Shaped, many

GYLES = 50

blueprint = Blueprint("gyles", __name__, url_prefix="/api/gyles", description="Gyles")


class GyleQuery(Lenient):
    """How many."""

    limit = fields.Integer(validate=validate.Range(1, 200), load_default=GYLES)


class GylePage(Lenient):
    """Gyles, the last begun first: `{id, recipe, begun, last, runs, open, vessels}`."""

    gyles = many("GyleLine")
    behind = behind_field()


class Gyle(Lenient):
    """One gyle."""

    id = fields.String(required=True)
    recipe = Shaped("NamedRecipe", required=True, allow_none=True)
    begun = fields.String(required=True, allow_none=True)
    runs = many("RunLine")
    sheet = Shaped("Sheet", required=True, allow_none=True)
    brews = fields.Integer(required=True)
    rows = many("Planned")
    readings = many("GyleReading")
    results = many("GyleResult")
    corrections = many("Correction")
    tun = Shaped("TunFit", required=True, allow_none=True)
    curve = many("Point")
    forecast = Shaped("Working", required=True, allow_none=True)
    chart = Shaped(
        "Chart",
        required=True,
        allow_none=True,
        metadata={"description": "The curve in thousandths of a drawing"},
    )
    moves = Shaped(
        "Moves",
        required=True,
        metadata={
            "description": "`{rows, account}`: each move with its volumes and losses, in order of time"
        },
    )
    fault = Shaped(
        "RunsFault", metadata={"description": "`{code, runs}`, where not all of its runs could be worked out"}
    )
    last = Shaped(
        "GyleBefore",
        required=True,
        allow_none=True,
        metadata={"description": "The brew of the same recipe before it"},
    )


@blueprint.route("", methods=["GET"])
@answers(blueprint, 401, 422)
@by_device
@blueprint.arguments(GyleQuery, location="query")
@blueprint.response(200, GylePage)
def list_gyles(credential: Credential, query: dict[str, Any]) -> dict[str, Any]:
    """The gyles begun last"""
    brewery = credential.brewery
    behind = kept().folder.settled(brewery)
    return {
        "gyles": gyles.gyles(brewery, limit=query["limit"]),
        "behind": behind,
    }


@blueprint.route("/<gyle>", methods=["GET"])
@answers(blueprint, 401, 404)
@by_device
@blueprint.response(200, Gyle)
def get_gyle(credential: Credential, gyle: str) -> dict[str, Any]:
    """One gyle: its sheet, planned against actual, its fermentation, and the last brew beside it"""
    kept().folder.settled(credential.brewery)
    found = gyles.gyle(credential.brewery, gyle) if is_id(gyle) else None
    if found is None:
        raise ProblemError(404, "not-found", "No gyle of that id is held here.")
    return found
