"""`/api/desk/deviations`: all of them; an answer is a signed event, no call."""

from typing import Any, cast

from marshmallow import fields, validate

from vesselside.store import kept
from vesselside.store.read import deviations
from vesselside.store.site import people
from vesselside.store.site.devices import Credential

from . import paging
from .bodies import Blueprint
from .credentials import by_manager
from .documents import Lenient, answers, behind_field, id_field
from .errors import ProblemError
from .runs import MOMENT, Moment
from .shaped import many

blueprint = Blueprint("deviations", __name__, url_prefix="/api/desk", description="The manager's desk")


class DeviationQuery(Lenient):
    """Which deviations."""

    state = fields.String(validate=validate.OneOf(sorted(deviations.RANKS)))
    vessel = id_field()
    procedure = id_field()
    raised_from = Moment(data_key="from", metadata={**MOMENT, "description": "Raised at or after"})
    raised_to = Moment(data_key="to", metadata={**MOMENT, "description": "Raised before"})
    after = fields.String(metadata={"description": "`next` of the page before"})
    limit = fields.Integer(validate=validate.Range(1, 200), load_default=50)


class DeviationPage(Lenient):
    """Those not answered first, then those still followed up, then those closed; each newest first."""

    counts = fields.Dict(values=fields.Integer(), required=True)
    deviations = many("DeviationLine")
    next = fields.String(required=True, allow_none=True)
    behind = behind_field()


@blueprint.route("/deviations", methods=["GET"])
@answers(blueprint, 401, 403, 422)
@by_manager
@blueprint.arguments(DeviationQuery, location="query")
@blueprint.response(200, DeviationPage)
def list_deviations(
    credential: Credential, _session: people.Session, query: dict[str, Any]
) -> dict[str, Any]:
    """All deviations, open ones first"""
    behind = kept().folder.settled(credential.brewery)
    after = query.pop("after", None)
    filters = deviations.Filters(**query, after=None if after is None else _place(after))
    rows, following = deviations.listed(credential.brewery, filters)
    return {
        "counts": deviations.counts(credential.brewery),
        "deviations": rows,
        "next": None if following is None else paging.token(following),
        "behind": behind,
    }


def _place(text: str) -> deviations.Place:
    found = paging.place(text, 5)
    if found[0] not in ("0", "1", "2") or not (
        found[4].isascii() and found[4].isdigit() and len(found[4]) < 10
    ):
        raise ProblemError(422, "invalid", "after must be the next of the page before.")
    return cast("deviations.Place", found)
