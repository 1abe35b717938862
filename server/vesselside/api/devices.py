"""`POST /api/devices`: enrol a device by a one-time code."""

from typing import Any

from flask import Response, jsonify
from marshmallow import fields

from vesselside.store import kept
from vesselside.store.base.db import now_ms
from vesselside.store.base.instants import text_of
from vesselside.store.log.signing import public_jwk
from vesselside.store.site import devices
from vesselside.store.site.people import checked_name

from .bodies import Blueprint
from .credentials import set_device_cookie
from .documents import Lenient, answers, text_field
from .shaped import Sent
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
