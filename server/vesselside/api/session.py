"""`/api/session`: a person signs in and out on an enrolled device."""

from typing import Any, ClassVar

from flask import Response, jsonify
from marshmallow import ValidationError, fields, validates_schema

from vesselside.store import book
from vesselside.store.base.db import now_ms
from vesselside.store.site import people
from vesselside.store.site.devices import Credential

from .bodies import Blueprint
from .credentials import by_device, by_manager, clear_person_cookie, person_cookie, set_person_cookie
from .documents import Lenient, answers, id_field, text_field
from .shaped import Shaped

blueprint = Blueprint("session", __name__, url_prefix="/api", description="Signing in")


class SignIn(Lenient):
    """A person with a PIN or a password."""

    person = id_field(required=True)
    pin = text_field(64)
    password = text_field(1000)
    verify = fields.Boolean(
        load_default=False,
        metadata={
            "description": "Only judge the secret, for a second person's signature: no session, no cookie"
        },
    )

    class Meta(Lenient.Meta):
        """Either secret, as the document says it."""

        stated: ClassVar = {"oneOf": [{"required": ["pin"]}, {"required": ["password"]}]}

    @validates_schema
    def one_secret(self, data: dict[str, Any], **_: Any) -> None:
        """Either, not both."""
        if ("pin" in data) == ("password" in data):
            raise ValidationError("Send a pin or a password.", "pin")


class DeskOpen(Lenient):
    """Whose desk it is."""

    person = fields.String(required=True)
    role = fields.String(required=True)


class SignedIn(DeskOpen):
    """Who is signed in."""

    event = Shaped(
        "Event",
        required=True,
        metadata={"description": "The server's record of it, for the phone to keep at once"},
    )


@blueprint.route("/session", methods=["POST"])
@answers(blueprint, 400, 401, 403, 413, 422, 429)
@by_device
@blueprint.arguments(SignIn)
@blueprint.response(200, SignedIn)
def sign_in(credential: Credential, sent: dict[str, Any]) -> Response:
    """Sign in by PIN or password"""
    kind = "pin" if "pin" in sent else "password"
    who = (book(credential.brewery), credential.device, sent["person"], kind, sent[kind])
    if sent["verify"]:
        judged = people.judge(*who, now=now_ms())
        return jsonify(person=sent["person"], role=judged.role, event=judged.event)
    token, judged = people.sign_in(*who, now=now_ms())
    response = jsonify(person=sent["person"], role=judged.role, event=judged.event)
    set_person_cookie(response, token)
    return response


@blueprint.route("/session", methods=["GET"])
@answers(blueprint, 401, 403)
@by_manager
@blueprint.response(200, DeskOpen)
def desk_open(_credential: Credential, session: people.Session) -> dict[str, str]:
    """Whose desk is open here; asking keeps it so"""
    return {"person": session.person, "role": session.role}


@blueprint.route("/session", methods=["DELETE"])
@answers(blueprint, 401, 403)
@by_device
@blueprint.response(204)
def sign_out(credential: Credential) -> Response:
    """Sign out; no record is touched"""
    people.sign_out(book(credential.brewery), person_cookie(), now=now_ms())
    response = Response(status=204)
    clear_person_cookie(response)
    return response
