"""`POST /api/devices`: enrol a device by a one-time code."""

from typing import Any

from flask import Response, jsonify
from marshmallow import fields

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
from .errors import BodyError
from .shaped import Sent, Shaped
from .watch import address

blueprint = Blueprint(
    "devices", __name__, url_prefix="/api", description="Enrolling phones and desk browsers"
)


class Enrolment(Lenient):
    """What a device sends to be enrolled; without a name it is called what the code was made for."""

    code = text_field(64, 0, required=True)
    name = text_field(80)
    key = Sent("PublicKey", required=True)


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
@answers(blueprint, 400, 403, 413, 422, 429)
@blueprint.arguments(Enrolment)
@blueprint.response(201, Enrolled)
def enrol(sent: dict[str, Any]) -> Response:
    """Enrol a device by a one-time code"""
    key = public_jwk(sent["key"])
    name = checked_name(sent["name"]) if "name" in sent else None
    now = now_ms()
    made = devices.enrol(kept().keys, sent["code"], name, key, address=address(), now=now)
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
