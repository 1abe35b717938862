"""`/api/runs` and `/api/vessels`: the register, one run with its events, the plant."""

import base64
import binascii
from datetime import UTC, datetime
from typing import Any

from flask import Response, json
from marshmallow import ValidationError, fields, validate

from vesselside.core.run.events import is_id
from vesselside.library.terms import KINDS
from vesselside.store import kept
from vesselside.store.base.db import now_ms
from vesselside.store.base.instants import ms_of, text_of
from vesselside.store.read import receipt, register, sought
from vesselside.store.site.devices import Credential

from .bodies import Blueprint
from .credentials import by_device
from .documents import Lenient, answers, behind_field, id_field
from .errors import ProblemError
from .shaped import Shaped, many

RUNS = 50
MOST_RUNS = 200
MOMENT = {"anyOf": [{"format": "date"}, {"format": "date-time"}]}

blueprint = Blueprint("runs", __name__, url_prefix="/api", description="Runs and vessels")


class Moment(fields.String):
    """A day or an RFC 3339 time, read as the text records carry."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> str:
        text = super()._deserialize(value, attr, data, **kwargs)
        try:
            moment = datetime.fromisoformat(str(text))
        except ValueError as error:
            raise ValidationError("A day (2026-11-25) or a time (2026-11-25T05:40:00Z).") from error
        if moment.tzinfo is None:
            moment = moment.replace(tzinfo=UTC)
        try:
            return text_of(ms_of(moment.isoformat()))
        except ValueError as error:
            raise ValidationError("A time in the years 1 to 9999 (UTC).") from error


class RunQuery(Lenient):
    """Which runs, and in what order."""

    vessel = id_field()
    procedure = id_field()
    kind = fields.String(validate=validate.OneOf(KINDS), metadata={"description": "Of procedure"})
    status = fields.String(
        validate=validate.OneOf(sought.STATUSES), metadata={"description": "`closed`: finished or abandoned"}
    )
    person = id_field(metadata={"description": "Who opened or closed it"})
    found = fields.String(
        validate=validate.OneOf(sought.FOUND),
        metadata={"description": "What is found against it: something, nothing, or at least one of this"},
    )
    review = fields.String(
        validate=validate.OneOf(sought.REVIEWS),
        metadata={"description": "`waiting`: closed, and no review of it stands; a lapsed one among them"},
    )
    sort = fields.String(
        validate=validate.OneOf([way + name for name in sought.SORTS for way in ("", "-")]),
        load_default="-opened",
        metadata={"description": "With - the last first; of equals the newest stands first"},
    )
    opened_from = Moment(data_key="from", metadata={**MOMENT, "description": "Opened at or after"})
    opened_to = Moment(data_key="to", metadata={**MOMENT, "description": "Opened before"})
    after = fields.String(metadata={"description": "`next` of the page before"})
    limit = fields.Integer(validate=validate.Range(1, MOST_RUNS), load_default=RUNS)


class RunPage(Lenient):
    """Summaries in the order asked for."""

    runs = many("RunLine")
    total = fields.Integer(required=True, metadata={"description": "How many runs match, on all pages"})
    held = fields.Integer(required=True, metadata={"description": "How many runs there are at all"})
    next = fields.String(required=True, allow_none=True)
    behind = behind_field()


class RunAnswer(Lenient):
    """A run's state and its events by sequence; `fault` where the newest of them could not be worked out."""

    run = Shaped("RunHeld", required=True)
    events = many("Event")
    fault = Shaped(
        "RunFault",
        required=True,
        allow_none=True,
        metadata={
            "description": "`{code, text, sequence}`: `run` is the last state that could be worked out"
        },
    )


class VesselPage(Lenient):
    """Every vessel's state; with `fault` `{code, runs}` where not all of its runs could be worked out."""

    vessels = many("VesselStanding")
    behind = behind_field()


@blueprint.route("/runs", methods=["GET"])
@answers(blueprint, 401, 422)
@by_device
@blueprint.arguments(RunQuery, location="query")
@blueprint.response(200, RunPage)
def list_runs(credential: Credential, query: dict[str, Any]) -> dict[str, Any]:
    """The register, newest first unless asked for otherwise"""
    behind = kept().folder.settled(credential.brewery)
    after = query.pop("after", None)
    place = None if after is None else _place(after, query["sort"])
    found = register.runs(credential.brewery, sought.Filters(**query, after=place))
    following = None if found.following is None else _token(found.following)
    return {
        "runs": found.runs,
        "total": found.total,
        "held": found.held,
        "next": following,
        "behind": behind,
    }


@blueprint.route("/runs/<run>", methods=["GET"])
@answers(blueprint, 401, 404)
@by_device
@blueprint.response(200, RunAnswer)
def get_run(credential: Credential, run: str) -> Response:
    """One run: its state, its findings, its events"""
    # what other runs bring to light of it is told with it
    kept().folder.settled(credential.brewery)
    found = receipt.run(credential.brewery, run) if is_id(run) else None
    if found is None:
        raise ProblemError(404, "not-found", "No run of that id is held here.")
    state, fault = json.dumps(found.state).encode(), json.dumps(found.fault).encode()
    body = b'{"run": ' + state + b', "fault": ' + fault + b', "events": [' + b",".join(found.events) + b"]}"
    return Response(body, content_type="application/json")


@blueprint.route("/vessels", methods=["GET"])
@answers(blueprint, 401)
@by_device
@blueprint.response(200, VesselPage)
def list_vessels(credential: Credential) -> dict[str, Any]:
    """The plant: every vessel and the state it is in"""
    brewery = credential.brewery
    behind = kept().folder.settled(brewery)
    return {"vessels": register.board(brewery, now=now_ms()), "behind": behind}


def _token(place: sought.Place) -> str:
    return base64.urlsafe_b64encode("~".join(map(str, place)).encode()).decode().rstrip("=")


def _place(token: str, sort: str) -> sought.Place:
    try:
        text = base64.urlsafe_b64decode(token + "=" * (-len(token) % 4)).decode("ascii")
        [key, opened, run] = text.split("~")
        value = _count(key) if sort.lstrip("-") == "found" else key
    except (binascii.Error, ValueError) as error:
        raise ProblemError(422, "invalid", "after must be the next of the page before.") from error
    if not is_id(run) or not _fits(key, opened):
        raise ProblemError(422, "invalid", "after must be the next of the page before.")
    return value, opened, run


def _count(key: str) -> int:
    """A count as a column can hold it; ValueError otherwise."""
    if not key.isdecimal() or len(key) > 15:
        raise ValueError(key)
    return int(key)


def _fits(key: str, opened: str) -> bool:
    """Whether these can be what a page ended at."""
    return len(key) <= 64 and len(opened) <= 24 and key.isprintable() and opened.isprintable()
