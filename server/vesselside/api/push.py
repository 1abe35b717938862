"""`/api/push`: which notices a phone wants sent to it while the app is shut (Push API, RFC 8030)."""

from typing import Any

from flask import Response
from marshmallow import fields, validate

from vesselside.store import kept
from vesselside.store.base.db import now_ms
from vesselside.store.notices import subscriptions
from vesselside.store.notices.due import KINDS
from vesselside.store.site.devices import Credential

from .bodies import Blueprint
from .credentials import by_device
from .documents import Lenient, answers, id_field, text_field

blueprint = Blueprint("push", __name__, url_prefix="/api/push", description="Notices to phones")
DAY_MINUTES = 1440


class Key(Lenient):
    """The application server's key, as `PushManager.subscribe` takes it."""

    key = fields.String(required=True, metadata={"description": "65 bytes in unpadded base64url (RFC 8292)"})


class BrowserKeys(Lenient):
    """The keys of a browser's subscription."""

    p256dh = text_field(100, required=True)
    auth = text_field(30, required=True)


class Quiet(Lenient):
    """Hours in which nothing is sent, in minutes of the day; over midnight where the end comes first."""

    start = fields.Integer(
        required=True, strict=True, data_key="from", validate=validate.Range(0, DAY_MINUTES - 1)
    )
    end = fields.Integer(
        required=True, strict=True, data_key="to", validate=validate.Range(0, DAY_MINUTES - 1)
    )
    offset = fields.Integer(
        required=True, strict=True, validate=validate.Range(-DAY_MINUTES, DAY_MINUTES),
        metadata={"description": "Minutes east of UTC"},
    )  # fmt: skip


class Subscribed(Lenient):
    """A browser's subscription as `PushSubscription.toJSON` gives it, and what its person wants."""

    endpoint = text_field(2000, required=True)
    keys = fields.Nested(BrowserKeys, required=True)
    kinds = fields.List(
        fields.String(validate=validate.OneOf(sorted(KINDS))), required=True, validate=validate.Length(max=20)
    )
    quiet = fields.Nested(Quiet, load_default=None, allow_none=True)
    person = id_field(load_default=None, allow_none=True)


@blueprint.route("/key", methods=["GET"])
@answers(blueprint, 401)
@by_device
@blueprint.response(200, Key)
def push_key(_credential: Credential) -> dict[str, str]:
    """The key that notices are signed with"""
    return {"key": kept().push.public}


@blueprint.route("/subscription", methods=["PUT"])
@answers(blueprint, 400, 401, 413, 422)
@by_device
@blueprint.arguments(Subscribed)
@blueprint.response(204)
def subscribe(credential: Credential, sent: dict[str, Any]) -> Response:
    """Have notices sent to this phone; what it wanted before is gone"""
    quiet = sent["quiet"]
    wanted = subscriptions.Wanted(
        endpoint=sent["endpoint"],
        key=sent["keys"]["p256dh"],
        auth=sent["keys"]["auth"],
        kinds=tuple(sent["kinds"]),
        person=sent["person"],
        quiet=quiet and {"from": quiet["start"], "to": quiet["end"], "offset": quiet["offset"]},
    )
    subscriptions.keep(credential.brewery, credential.device, wanted, service=kept().service, now=now_ms())
    return Response(status=204)


@blueprint.route("/subscription", methods=["DELETE"])
@answers(blueprint, 401)
@by_device
@blueprint.response(204)
def unsubscribe(credential: Credential) -> Response:
    """Have nothing sent to this phone any more"""
    subscriptions.drop(credential.brewery, credential.device)
    return Response(status=204)
