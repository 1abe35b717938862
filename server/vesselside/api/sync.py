"""`POST /api/sync`: one round trip that pushes and pulls; it can be cut anywhere and repeated."""

from dataclasses import dataclass
from typing import Any

from flask import Response, json, request
from marshmallow import fields, validate

from vesselside.core.ground.clock import is_hash, is_sequence
from vesselside.core.run.events import is_id
from vesselside.store import book, kept
from vesselside.store.base.db import now_ms
from vesselside.store.base.instants import ms_of, sequence_text, text_of
from vesselside.store.fold import projections
from vesselside.store.log import epochs, feed, intake, tree, writer
from vesselside.store.site import allowance, devices, people, returning
from vesselside.store.site.devices import Credential

from .bodies import Blueprint
from .credentials import by_device, device_cookie, person, set_device_cookie
from .documents import Lenient, answers, id_field, time_field
from .edge import body_of
from .errors import BodyError, ProblemError
from .shaped import Shaped, many

PUSH_EVENTS = 500
PUSH_BYTES = 262_144
BODY_BYTES = 1_048_576
PULL_EVENTS = 500
FETCH_RUNS = 20
BROUGHT = (allowance.EVENTS, allowance.BYTES, allowance.QUARANTINED)

blueprint = Blueprint("sync", __name__, url_prefix="/api", description="Pushing and pulling records")


class SyncRequest(Lenient):
    """What a device pushes, and from where on it pulls."""

    cursor = fields.String(required=True, metadata={"pattern": "^[0-9]{16}$"})
    events = fields.List(Shaped("EventSent"), validate=validate.Length(max=PUSH_EVENTS))
    limit = fields.Integer(validate=validate.Range(1, PULL_EVENTS), load_default=PULL_EVENTS)
    clock = time_field(metadata={"description": "The phone's now"})
    fetch = fields.List(id_field(), validate=validate.Length(max=FETCH_RUNS))
    at = fields.String(
        metadata={"description": "`at` of the answer that gave the cursor", "pattern": "^[0-9a-f]{64}$"}
    )
    epoch = id_field(metadata={"description": "`epoch` of that answer"})
    head = fields.Boolean(metadata={"description": "Whether the log as it then stands is to be signed"})
    returned = fields.List(
        Shaped("EventSent"),
        validate=validate.Length(max=PUSH_EVENTS),
        metadata={"description": "Events of the server that it lost by a restore, in order of their numbers"},
    )
    known = Shaped(
        "KnownToPhone",
        metadata={"description": "Names and procedures that those events speak of and do not hold"},
    )


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
    returned = fields.List(
        fields.Nested(SyncResult),
        metadata={
            "description": "One for each event that was returned, in order; a refused one is kept for later"
        },
    )
    cursor = fields.String(required=True)
    more = fields.Boolean(required=True)
    now = fields.String(required=True)
    digests = fields.Dict(required=True, values=fields.String())
    withheld = fields.List(fields.String(), required=True)
    at = fields.String(required=True, metadata={"description": "Hash of the log's leaf at `cursor`"})
    epoch = fields.String(
        required=True, metadata={"description": "Which life of the log: a restore begins another"}
    )
    head = Shaped(
        "TreeHead", required=True, allow_none=True, metadata={"description": "The newest signed head"}
    )


@dataclass(frozen=True)
class Exchange:
    """A request of the right shape."""

    cursor: int
    events: list[object]
    limit: int
    clock: int | None
    fetch: list[str]
    at: str | None
    epoch: str | None
    head: bool
    returned: list[object]
    known: dict[str, Any]

    @property
    def brings(self) -> bool:
        """Whether it carries anything."""
        return bool(self.events or self.returned)


@blueprint.route("/sync", methods=["POST"])
@answers(blueprint, 400, 401, 403, 409, 413, 415, 422, 429)
@by_device
@blueprint.doc(requestBody={"required": True, "content": {"application/json": {"schema": SyncRequest}}})
@blueprint.response(200, SyncAnswer)
def sync(credential: Credential) -> Response:
    """Push records and pull what others made"""
    body = body_of(request, BODY_BYTES)
    now = now_ms()
    exchange = _exchange(intake.parse(body), len(body))
    if exchange.brings:
        allowance.check(credential.brewery, credential.device, BROUGHT, now=now)
    epoch = _same_log(credential.brewery, exchange)
    offset = None if exchange.clock is None else now - exchange.clock
    log = book(credential.brewery)
    if exchange.events:
        # records are use: whose desk it is stays; one that was left alone ends before they are taken
        people.end_idle(log, credential.device, now=now)
        person(credential)
    back = returning.Returned()
    if exchange.returned:
        # before the records: these speak of people and phones that those may make known
        back = returning.take(log, exchange.returned, exchange.known, device=credential.device, now=now)
    appended = writer.append(log, exchange.events, device=credential.device, now=now, clock_offset=offset)
    if back.gone.runs:
        # what was taken out must not stand in a folded run a moment longer
        projections.refresh(credential.brewery, back.gone.runs, whole=True)
    for photo in sorted(back.gone.photos):
        kept().photos.remove(credential.brewery, photo)
    if exchange.brings:
        allowance.bring(credential.brewery, credential.device, _amounts(appended, back, len(body)), now=now)
        kept().folder.wake(credential.brewery)
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
    digests = feed.digests(credential.brewery, appended.runs | back.runs | page.runs)
    told = tree.signed(log, now) if exchange.head else tree.latest(log)
    rest = {
        "results": appended.results,
        **({"returned": back.results} if back.results else {}),
        "cursor": sequence_text(page.cursor),
        "more": page.more,
        "now": text_of(now),
        "digests": digests,
        "withheld": page.withheld,
        "at": tree.at(credential.brewery, page.cursor),
        "epoch": epoch,
        "head": told.told() if told else None,
    }
    # Events go out as the bytes they were stored as; only what is about them is written anew.
    answer = json.dumps(rest).encode()[:-1] + b', "events": [' + b",".join(page.events) + b"]}"
    response = Response(answer, content_type="application/json")
    set_device_cookie(response, device_cookie())
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
    at, epoch, head = sent.get("at"), sent.get("epoch"), sent.get("head", False)
    if at is not None and not is_hash(at):
        raise _unshaped("at must be 64 hex digits.")
    if epoch is not None and not is_id(epoch):
        raise _unshaped("epoch must be the id that an answer gave.")
    if not isinstance(head, bool):
        raise _unshaped("head must be true or false.")
    returned, known = sent.get("returned", []), _known(sent)
    if not isinstance(returned, list) or len(returned) > PUSH_EVENTS:
        raise _unshaped(f"returned must be a list of at most {PUSH_EVENTS} events.")
    return Exchange(
        int(str(cursor)), events, limit, _clock(sent.get("clock")), fetch, at, epoch, head, returned, known
    )


def _amounts(appended: writer.Appended, back: returning.Returned, size: int) -> dict[allowance.Kind, int]:
    doubted = sum(result["status"] == "quarantined" for result in appended.results)
    return {
        allowance.EVENTS: len(appended.results) + len(back.results),
        allowance.BYTES: size,
        allowance.QUARANTINED: doubted,
    }


def _same_log(brewery: str, exchange: Exchange) -> str:
    """The epoch of the log; a problem when the phone's cursor is of a log that this one is not, or no longer."""
    epoch = epochs.current(brewery)
    cursor, at = exchange.cursor, exchange.at
    projections.of_life(brewery, epoch)
    moved = (exchange.epoch or epoch) != epoch or (at is not None and tree.at(brewery, cursor) != at)
    if moved:
        shared = epochs.shared(brewery, cursor, exchange.epoch)
        raise ProblemError(
            409,
            "log-changed",
            "This log was put back to an earlier state. What came after it is sent again.",
            more={"shared": sequence_text(shared), "epoch": epoch},
        )
    feed.check_cursor(brewery, cursor)
    return epoch


def _known(sent: dict[str, Any]) -> dict[str, Any]:
    known = sent.get("known", {})
    if not isinstance(known, dict):
        raise _unshaped("known must be an object of people and procedures.")
    if wrong := intake.unkeepable(known):
        raise BodyError("known", wrong[1])
    return known


def _clock(text: object) -> int | None:
    if text is None:
        return None
    try:
        return ms_of(str(text))
    except ValueError as error:
        raise _unshaped("clock must be a time with its offset from UTC (RFC 3339).") from error


def _unshaped(detail: str) -> ProblemError:
    return ProblemError(422, "invalid", detail)
