"""`POST /api/sync`: one round trip that pushes and pulls; it can be cut anywhere and repeated."""

from dataclasses import dataclass
from typing import Any

from flask import Response, json, request
from marshmallow import fields, validate

from vesselside.core.ground.clock import is_sequence
from vesselside.core.run.events import is_id
from vesselside.store.base.db import now_ms
from vesselside.store.base.instants import ms_of, sequence_text, text_of
from vesselside.store.fold import projections
from vesselside.store.log import feed, intake, writer
from vesselside.store.site import devices
from vesselside.store.site.devices import Credential

from .bodies import Blueprint
from .credentials import by_device, set_device_cookie
from .documents import DEVICE_COOKIE, Lenient, answers
from .edge import body_of
from .errors import ProblemError
from .shaped import many

PUSH_EVENTS = 500
PUSH_BYTES = 262_144
BODY_BYTES = 1_048_576
PULL_EVENTS = 500
FETCH_RUNS = 20

blueprint = Blueprint("sync", __name__, url_prefix="/api", description="Pushing and pulling records")


class SyncRequest(Lenient):
    """What a device pushes, and from where on it pulls."""

    cursor = fields.String(required=True, metadata={"pattern": "^[0-9]{16}$"})
    events = fields.List(fields.Dict(), validate=validate.Length(max=PUSH_EVENTS))
    limit = fields.Integer(validate=validate.Range(1, PULL_EVENTS), load_default=PULL_EVENTS)
    clock = fields.String(metadata={"description": "The phone's now, RFC 3339"})
    fetch = fields.List(fields.String(), validate=validate.Length(max=FETCH_RUNS))


class SyncResult(Lenient):
    """What became of one pushed event."""

    id = fields.String(required=True)
    status = fields.String(
        required=True, validate=validate.OneOf(["stored", "repeat", "quarantined", "refused"])
    )
    sequence = fields.String()
    problem = fields.String()
    text = fields.String()


class SyncAnswer(Lenient):
    """What became of the push, and the events after the cursor."""

    results = fields.List(fields.Nested(SyncResult), required=True)
    events = many("Event")
    cursor = fields.String(required=True)
    more = fields.Boolean(required=True)
    now = fields.String(required=True)
    digests = fields.Dict(required=True, values=fields.String())
    withheld = fields.List(fields.String(), required=True)


@dataclass(frozen=True)
class Exchange:
    """A request of the right shape."""

    cursor: int
    events: list[object]
    limit: int
    clock: int | None
    fetch: list[str]


@blueprint.route("/sync", methods=["POST"])
@answers(blueprint, 400, 401, 403, 413, 415, 422)
@by_device
@blueprint.doc(requestBody={"required": True, "content": {"application/json": {"schema": SyncRequest}}})
@blueprint.response(200, SyncAnswer)
def sync(credential: Credential) -> Response:
    """Push records and pull what others made"""
    body = body_of(request, BODY_BYTES)
    now = now_ms()
    exchange = _exchange(intake.parse(body), len(body))
    feed.check_cursor(credential.brewery, exchange.cursor)
    offset = None if exchange.clock is None else now - exchange.clock
    appended = writer.append(
        credential.brewery, exchange.events, device=credential.device, now=now, clock_offset=offset
    )
    digests = projections.refresh(credential.brewery, appended.runs)
    if exchange.events:
        projections.catch_up(credential.brewery)
    else:
        devices.heard(credential.brewery, credential.device, now=now, clock_offset=offset)
    page = feed.page(
        credential.brewery,
        exchange.cursor,
        limit=exchange.limit,
        pushed=appended.sequences,
        fetch=exchange.fetch,
        now=now,
    )
    digests |= feed.digests(credential.brewery, page.runs - set(digests))
    rest = {
        "results": appended.results,
        "cursor": sequence_text(page.cursor),
        "more": page.more,
        "now": text_of(now),
        "digests": digests,
        "withheld": page.withheld,
    }
    # Events go out as the bytes they were stored as; only what is about them is written anew.
    answer = json.dumps(rest).encode()[:-1] + b', "events": [' + b",".join(page.events) + b"]}"
    response = Response(answer, content_type="application/json")
    set_device_cookie(response, request.cookies[DEVICE_COOKIE])
    return response


def _exchange(sent: Any, size: int) -> Exchange:
    if not isinstance(sent, dict):
        raise _unshaped("The body must be an object, with no key twice.")
    events = sent.get("events", [])
    if not isinstance(events, list):
        raise _unshaped("events must be a list.")
    # A phone halves what is too large; a lone event that is too large is refused by itself.
    if len(events) > PUSH_EVENTS or (size > PUSH_BYTES and len(events) != 1):
        raise ProblemError(
            413, "too-large", f"At most {PUSH_EVENTS} events and {PUSH_BYTES} bytes; send fewer."
        )
    cursor = sent.get("cursor")
    if not is_sequence(cursor):
        raise _unshaped("cursor must be 16 digits.")
    limit = sent.get("limit", PULL_EVENTS)
    if not isinstance(limit, int) or isinstance(limit, bool) or not 1 <= limit <= PULL_EVENTS:
        raise _unshaped(f"limit must be 1 to {PULL_EVENTS}.")
    fetch = sent.get("fetch", [])
    if not isinstance(fetch, list) or len(fetch) > FETCH_RUNS or not all(is_id(run) for run in fetch):
        raise _unshaped(f"fetch must be a list of at most {FETCH_RUNS} run ids.")
    return Exchange(int(str(cursor)), events, limit, _clock(sent.get("clock")), fetch)


def _clock(text: object) -> int | None:
    if text is None:
        return None
    try:
        return ms_of(str(text))
    except ValueError as error:
        raise _unshaped("clock must be a time with its offset from UTC (RFC 3339).") from error


def _unshaped(detail: str) -> ProblemError:
    return ProblemError(422, "invalid", detail)
