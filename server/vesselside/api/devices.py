"""`POST /api/devices`: enrol a device by a one-time code."""

import re
from typing import Any

from flask import Response, jsonify
from marshmallow import ValidationError, fields, validate

from vesselside.store import kept
from vesselside.store.base.db import now_ms
from vesselside.store.base.instants import ms_of, text_of
from vesselside.store.log import intake
from vesselside.store.log.signing import public_jwk
from vesselside.store.site import devices
from vesselside.store.site.people import checked_name

from .bodies import Blueprint
from .credentials import set_device_cookie
from .documents import Lenient, answers, id_field, text_field, time_field
from .errors import BodyError, ProblemError
from .shaped import Sent, Shaped
from .watch import address

blueprint = Blueprint(
    "devices", __name__, url_prefix="/api", description="Enrolling phones and desk browsers"
)
UUID = "[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}"


def made_id(value: str) -> None:
    """Judge an id that a phone made for itself (RFC 9562, version 7)."""
    if not re.fullmatch(UUID, value):
        raise ValidationError("It is no UUID of version 7 in lower case.")


class Lost(Lenient):
    """What a phone tells whose browser had thrown its records away."""

    device = id_field()
    records = fields.Integer(
        required=True, strict=True, validate=validate.Range(0, 10**7),
        metadata={"description": "How many of its records its journal gave back"},
    )  # fmt: skip
    torn = fields.Integer(
        load_default=0, strict=True, validate=validate.Range(0, 10**7),
        metadata={"description": "How many lines of its journal were cut short"},
    )  # fmt: skip
    loss = text_field(40, required=True, metadata={"description": "What the browser said: `total`, `none`"})


class Enrolment(Lenient):
    """What a device sends to be enrolled; without a name it is called what the code was made for."""

    code = text_field(64, 0, required=True)
    name = text_field(80)
    key = Sent("PublicKey", required=True)
    device = fields.String(
        validate=made_id,
        metadata={
            "pattern": f"^{UUID}$",
            "description": "The id under which it has recorded since its storage was lost (RFC 9562)",
        },
    )
    lost = fields.Nested(Lost)


class Enrolled(Lenient):
    """What it becomes."""

    device = fields.String(required=True)
    brewery = fields.String(required=True)
    now = fields.String(required=True)


class Word(Lenient):
    """What a device sends that was enrolled before the log was put back to an earlier state."""

    log = id_field(required=True)
    device = id_field(required=True)
    enrolled = Shaped("EventSent", metadata={"description": "The server's `device.enrolled` that names it"})
    time = time_field(required=True, metadata={"description": "Within five minutes of the server's"})
    signature = fields.String(
        required=True,
        metadata={"description": "ES256 by its key over canonical {purpose: known-again, log, device, time}"},
    )


@blueprint.route("/devices", methods=["POST"])
@answers(blueprint, 400, 403, 409, 413, 422, 429)
@blueprint.arguments(Enrolment)
@blueprint.response(201, Enrolled)
def enrol(sent: dict[str, Any]) -> Response:
    """Enrol a device by a one-time code"""
    key = public_jwk(sent["key"])
    name = checked_name(sent["name"]) if "name" in sent else None
    now = now_ms()
    brought = devices.Brought(sent.get("device"), sent.get("lost"))
    try:
        made = devices.enrol(
            kept().keys, sent["code"], name, key, address=address(), now=now, brought=brought
        )
    except devices.TakenError as error:
        raise ProblemError(409, "id-reused", "Another device has this id already.") from error
    if made.runs:
        kept().folder.wake(made.brewery)
    response = jsonify(device=made.device, brewery=made.brewery, now=text_of(now))
    response.status_code = 201
    set_device_cookie(response, made.token)
    return response


@blueprint.route("/devices/known", methods=["POST"])
@answers(blueprint, 400, 403, 413, 422, 429)
@blueprint.arguments(Word)
@blueprint.response(200, Enrolled)
def known_again(sent: dict[str, Any]) -> Response:
    """Be known again after the log was put back to a copy from before the device was enrolled"""
    now = now_ms()
    if intake.unkeepable(sent):
        raise BodyError("enrolled", "It holds what no record can.")
    try:
        ms_of(sent["time"])
    except ValueError as error:
        raise BodyError("time", "It is no time with its offset from UTC (RFC 3339).") from error
    made, runs = devices.known_again(kept().keys, devices.Word(**sent), address=address(), now=now)
    if runs:
        kept().folder.wake(made.brewery)
    response = jsonify(device=made.device, brewery=made.brewery, now=text_of(now))
    set_device_cookie(response, made.token)
    return response
