"""What all routes share in the OpenAPI document: the problem answer, the credentials, schemas that let more pass."""

import re
from collections.abc import Callable
from typing import Any

from apispec.ext.marshmallow import MarshmallowPlugin
from apispec.ext.marshmallow.openapi import OpenAPIConverter
from flask import Flask
from flask_smorest import Api, Blueprint
from marshmallow import EXCLUDE, Schema, ValidationError, fields, validate

from vesselside import __version__
from vesselside.core.run.events import ROLES, is_id

from . import shaped
from .errors import MEDIA_TYPE

ABOUT = """\
Any call may be answered 405 where the address has no such method, and a call that changes something 403 where it came \
from another site. No text of a body, and no name in one, holds U+0000 or half of a surrogate pair, no whole number \
has more than 17 characters, and nothing is nested more than 24 deep: such a body is answered 422. What this document \
does not name is ignored."""
DEVICE_COOKIE = "vesselside-device"
PERSON_COOKIE = "vesselside-person"
Route = Callable[..., Any]


class Lenient(Schema):
    """Fields nobody knows are ignored, so that an older server takes what a newer phone sends."""

    class Meta:
        unknown = EXCLUDE


class Problem(Schema):
    """RFC 9457."""

    type = fields.String(required=True, metadata={"description": "`urn:vesselside:` and the kind of problem"})
    title = fields.String(required=True)
    status = fields.Integer(required=True)
    detail = fields.String(required=True)
    errors = fields.Dict(
        metadata={"description": "What is wrong, field by field; open on purpose: nested as what was sent"}
    )
    revoked = fields.Boolean(metadata={"description": "Set where a manager ended this device's credential"})
    faults = fields.List(shaped.Shaped("Fault"), metadata={"description": "What is wrong, each at its field"})
    shared = fields.String(
        metadata={"description": "Set where the log was put back: up to which cursor the two agree"}
    )
    epoch = fields.String(metadata={"description": "Set there too: which life of the log this is"})


def id_field(**more: Any) -> fields.String:
    """A field that takes an id as records carry them."""

    def judge(value: str) -> None:
        if not is_id(value):
            raise ValidationError("An id is 1 to 64 of a-z, 0-9 and dashes.")

    said = {"pattern": "^[a-z0-9-]{1,64}$", **more.pop("metadata", {})}
    return fields.String(validate=judge, metadata=said, **more)


def text_field(most: int = 80, least: int = 1, **more: Any) -> fields.String:
    """A field that takes a text which every database can keep."""

    def judge(value: str) -> None:
        if re.search("[\x00\ud800-\udfff]", value):
            raise ValidationError("It holds a character that cannot be kept.")

    return fields.String(validate=[validate.Length(min=least, max=most), judge], **more)


def time_field(**more: Any) -> fields.String:
    """A field that takes an RFC 3339 time; the route reads it."""
    return fields.String(metadata={"format": "date-time", **more.pop("metadata", {})}, **more)


def behind_field() -> fields.Integer:
    """How many runs a list shows as they were, since their newest records are still to be folded."""
    return fields.Integer(
        required=True, metadata={"description": "How many runs have records that are still to be folded"}
    )


def role_field(**more: Any) -> fields.String:
    """A field that takes a role."""
    return fields.String(validate=validate.OneOf(ROLES), **more)


def answers(blueprint: Blueprint, *statuses: int) -> Callable[[Route], Route]:
    """Document the problem answers of a route; any may find its address too long or the database unavailable."""

    def decorate(route: Route) -> Route:
        for status in sorted({*statuses, 414, 503}):
            headers = {"Retry-After": {"schema": {"type": "integer"}}} if status in (429, 503) else None
            route = blueprint.alt_response(status, schema=Problem, content_type=MEDIA_TYPE, headers=headers)(
                route
            )
        return route

    return decorate


class _Converter(OpenAPIConverter):
    """Adds what a schema's `Meta.stated` says of the fields together."""

    def schema2jsonschema(self, schema: Any) -> Any:
        written = super().schema2jsonschema(schema)  # type: ignore[no-untyped-call]
        return {**written, **getattr(schema.Meta, "stated", {})}


class _Plugin(MarshmallowPlugin):
    """Writes schemas so."""

    Converter = _Converter


class Document(Api):  # type: ignore[misc]  # flask-smorest carries no types
    """The OpenAPI document; errors are mapped in `errors`, not here."""

    ERROR_SCHEMA = Problem
    DEFAULT_ERROR_RESPONSE_NAME = None

    def _register_error_handlers(self) -> None:
        pass

    def _register_responses(self) -> None:
        # the first schema that is read is that of the problem, which names a shape
        shaped.describe(self.spec, self.ma_plugin.converter)
        super()._register_responses()


def register(app: Flask) -> Document:
    """Serve the document at /api/openapi.json."""
    app.config.update(
        API_TITLE="Vesselside",
        API_VERSION=__version__,
        OPENAPI_VERSION="3.1.0",
        OPENAPI_URL_PREFIX="/api",
        OPENAPI_JSON_PATH="openapi.json",
    )
    document = Document(app, spec_kwargs={"marshmallow_plugin": _Plugin(), "info": {"description": ABOUT}})
    for name, cookie in (("device", DEVICE_COOKIE), ("person", PERSON_COOKIE)):
        document.spec.components.security_scheme(name, {"type": "apiKey", "in": "cookie", "name": cookie})
    return document
