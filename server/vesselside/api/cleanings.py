"""`/api/desk/cleanings`: the cleaning register, as JSON by pages and as a table for a spreadsheet."""

from typing import Any, cast

from flask import Response
from marshmallow import fields, validate

from vesselside.core.run.events import is_id
from vesselside.store import kept
from vesselside.store.read import cleanings
from vesselside.store.site import people
from vesselside.store.site.devices import Credential

from . import paging
from .bodies import Blueprint
from .credentials import by_manager
from .documents import Lenient, answers, behind_field, id_field
from .errors import ProblemError
from .runs import MOMENT, Moment
from .shaped import many

CSV = "text/csv"

blueprint = Blueprint("cleanings", __name__, url_prefix="/api/desk", description="The manager's desk")


class CleaningQuery(Lenient):
    """Which cleans, and as what: a table holds all that fit from `after` on, whatever the limit."""

    vessel = id_field()
    procedure = id_field()
    done_from = Moment(data_key="from", metadata={**MOMENT, "description": "Closed at or after"})
    done_to = Moment(data_key="to", metadata={**MOMENT, "description": "Closed before"})
    after = fields.String(metadata={"description": "`next` of the page before"})
    limit = fields.Integer(validate=validate.Range(1, cleanings.AT_ONCE), load_default=50)
    format = fields.String(validate=validate.OneOf(["json", "csv"]), load_default="json")


class CleaningPage(Lenient):
    """Cleans, the one closed last first; one that is still open by when it was opened."""

    cleanings = many("CleaningLine")
    next = fields.String(required=True, allow_none=True)
    behind = behind_field()


FORMS = {"application/json": {"schema": CleaningPage}, CSV: {"schema": {"type": "string"}}}


@blueprint.route("/cleanings", methods=["GET"])
@answers(blueprint, 401, 403, 422)
@by_manager
@blueprint.arguments(CleaningQuery, location="query")
@blueprint.response(200, CleaningPage)
@blueprint.doc(responses={"200": {"description": "The register", "content": FORMS}})
def list_cleanings(
    credential: Credential, _session: people.Session, query: dict[str, Any]
) -> dict[str, Any] | Response:
    """The cleaning register: each clean with its figures, what was found and what the review said"""
    behind = kept().folder.settled(credential.brewery)
    after, form = query.pop("after", None), query.pop("format")
    filters = cleanings.Filters(**query, after=None if after is None else _place(after))
    if form == "csv":
        return _table(credential.brewery, filters)
    rows, following = cleanings.listed(credential.brewery, filters)
    return {
        "cleanings": rows,
        "next": None if following is None else paging.token(following),
        "behind": behind,
    }


def _table(brewery: str, filters: cleanings.Filters) -> Response:
    text = cleanings.table(brewery, filters)
    if text is None:
        said = f"That is more than {cleanings.MOST_ROWS} cleans: ask for them in parts, by vessel or span."
        raise ProblemError(422, "invalid", said)
    response = Response(text, content_type=f"{CSV}; charset=utf-8; header=present")
    response.headers["Content-Disposition"] = 'attachment; filename="cleaning-register.csv"'
    return response


def _place(text: str) -> cleanings.Place:
    found = paging.place(text, 2)
    if not is_id(found[1]):
        raise ProblemError(422, "invalid", "after must be the next of the page before.")
    return cast("cleanings.Place", found)
