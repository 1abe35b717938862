"""Every error answer there is: RFC 9457 problem details, made in this one place."""

import math
from http import HTTPStatus
from typing import Any

from flask import Flask, Response, json
from sqlalchemy import exc
from werkzeug.exceptions import HTTPException, MethodNotAllowed, NotFound

from vesselside.store.base.faults import FieldsError, LaterError
from vesselside.store.log.feed import CursorError
from vesselside.store.log.intake import NotJsonError
from vesselside.store.log.signing import JwkError
from vesselside.store.photos.files import PhotoNameError, PhotoStoreError
from vesselside.store.photos.pictures import PictureError
from vesselside.store.site.devices import CodeError
from vesselside.store.site.people import ActiveError, LastManagerError, NoPersonError, SecretError
from vesselside.store.site.publishing import OutOfTurnError
from vesselside.store.site.secrets import PersonError
from vesselside.store.site.siting import ReferenceDataError

PREFIX = "urn:vesselside:"
MEDIA_TYPE = "application/problem+json"
RETRY_SECONDS = 5

# What an error of the transport is called when no route has said better.
KINDS = {
    400: "malformed",
    401: "not-enrolled",
    403: "invalid",
    404: "not-found",
    405: "invalid",
    408: "malformed",
    409: "invalid",
    411: "malformed",
    413: "too-large",
    414: "too-large",
    415: "malformed",
    422: "invalid",
    429: "rate-limited",
    431: "too-large",
    500: "failed",
    503: "unavailable",
}


class ProblemError(Exception):
    """An error answer on its way out."""

    def __init__(
        self, status: int, kind: str, detail: str, *, retry_after: float | None = None,
        more: dict[str, Any] | None = None,
    ) -> None:  # fmt: skip
        super().__init__(detail)
        self.status, self.kind, self.detail, self.retry_after = status, kind, detail, retry_after
        self.more = more or {}


class BodyError(Exception):
    """A body that is JSON but holds, at `field`, what nothing here can keep."""

    def __init__(self, field: str, text: str) -> None:
        super().__init__(text)
        self.field, self.text = field, text


class FaultsError(Exception):
    """Something with faults `[{field, text}]` was sent to be kept; the answer says them all."""

    def __init__(self, faults: list[dict[str, Any]]) -> None:
        super().__init__("; ".join(f"{row['field']}: {row['text']}" for row in faults[:20]))
        self.faults = faults


def problem(
    status: int, kind: str, detail: str, *, retry_after: float | None = None, **more: Any
) -> Response:
    """A problem details answer."""
    content = {
        "type": PREFIX + kind,
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
        **more,
    }
    response = Response(json.dumps(content), status, content_type=MEDIA_TYPE)
    response.headers["Cache-Control"] = "no-store"
    if retry_after is not None:
        response.headers["Retry-After"] = str(max(1, math.ceil(retry_after)))
    return response


def register(app: Flask) -> None:
    """Map every error that can leave a route."""
    _register_faulty(app)

    @app.errorhandler(ProblemError)
    def told(error: ProblemError) -> Response:
        return problem(error.status, error.kind, error.detail, retry_after=error.retry_after, **error.more)

    @app.errorhandler(HTTPException)
    def transport(error: HTTPException) -> Response:
        status = error.code or 500
        more = {}
        data = getattr(error, "data", None) or {}
        if "messages" in data:
            more["errors"] = data["messages"]
        response = problem(status, KINDS.get(status, "invalid"), _detail(error, more), **more)
        if isinstance(error, MethodNotAllowed) and error.valid_methods:
            response.headers["Allow"] = ", ".join(sorted(error.valid_methods))
        return response

    @app.errorhandler(NotJsonError)
    def not_json(error: NotJsonError) -> Response:
        return problem(400, "malformed", f"The body is no JSON. {error}")

    @app.errorhandler(CodeError)
    def code(_: CodeError) -> Response:
        return problem(
            403, "code-invalid", "This code is wrong, used or expired. Ask a manager for a new one."
        )

    @app.errorhandler(SecretError)
    def secret(_: SecretError) -> Response:
        return problem(403, "invalid", "This is not the PIN or password of that person.")

    @app.errorhandler(LaterError)
    def wait(error: LaterError) -> Response:
        return problem(429, "rate-limited", str(error), retry_after=error.seconds)

    @app.errorhandler(JwkError)
    @app.errorhandler(CursorError)
    @app.errorhandler(PersonError)
    @app.errorhandler(PhotoNameError)
    @app.errorhandler(PictureError)
    @app.errorhandler(ReferenceDataError)
    @app.errorhandler(FieldsError)
    def unusable(error: ValueError) -> Response:
        more: dict[str, Any] = {"errors": error.by_field()} if isinstance(error, FieldsError) else {}
        return problem(422, "invalid", str(error), **more)

    @app.errorhandler(exc.OperationalError)
    @app.errorhandler(exc.InternalError)
    @app.errorhandler(exc.TimeoutError)
    def unavailable(error: exc.SQLAlchemyError) -> Response:
        app.logger.error("The database cannot be used: %s", error)
        detail = (
            "The database cannot be used just now. Nothing was acknowledged; what you hold is safe with you."
        )
        return problem(503, "unavailable", detail, retry_after=RETRY_SECONDS)

    @app.errorhandler(PhotoStoreError)
    def full(error: PhotoStoreError) -> Response:
        app.logger.error("The photos cannot be used: %s", error)
        detail = "The photos cannot be used just now. What you hold is safe with you."
        return problem(503, "unavailable", detail, retry_after=RETRY_SECONDS)


def _detail(error: HTTPException, more: dict[str, Any]) -> str:
    if more:
        return "What was sent is not what this address takes."
    return "There is nothing at this address." if isinstance(error, NotFound) else error.description or ""


def _register_faulty(app: Flask) -> None:
    """Map what is wrong with what was sent to be kept."""

    @app.errorhandler(ActiveError)
    @app.errorhandler(LastManagerError)
    def held(error: Exception) -> Response:
        return problem(409, "invalid", str(error))

    @app.errorhandler(NoPersonError)
    def nobody(error: NoPersonError) -> Response:
        return problem(404, "not-found", str(error))

    @app.errorhandler(OutOfTurnError)
    def out_of_turn(error: OutOfTurnError) -> Response:
        return problem(409, "invalid", str(error), errors={"version": [str(error)]})

    @app.errorhandler(FaultsError)
    def faulty(error: FaultsError) -> Response:
        return problem(422, "invalid", str(error), faults=error.faults)

    @app.errorhandler(BodyError)
    def unkeepable(error: BodyError) -> Response:
        row = {"field": error.field, "text": error.text}
        return problem(422, "invalid", error.text, errors={error.field: [error.text]}, faults=[row])
