"""`/api/photos/<sha256>`: photos come once, by their own hash, and are given out as they came."""

from typing import Any

from flask import Response, request
from marshmallow import fields

from vesselside.store import kept
from vesselside.store.base.db import now_ms
from vesselside.store.log import signing
from vesselside.store.photos.pictures import SUFFIXES
from vesselside.store.site import allowance, redacting
from vesselside.store.site.devices import Credential

from .bodies import Blueprint
from .credentials import by_device
from .documents import Lenient, answers
from .edge import body_of
from .errors import ProblemError

PHOTO_BYTES = 4 * 1024 * 1024
PICTURE = {mime: {"schema": {"type": "string", "format": "binary"}} for mime in SUFFIXES}

blueprint = Blueprint("photos", __name__, url_prefix="/api", description="Photos")


class KeptPhoto(Lenient):
    """A photo that is on the server's disk."""

    sha256 = fields.String(required=True)
    bytes = fields.Integer(required=True)


@blueprint.route("/photos/<sha256>", methods=["PUT"])
@answers(blueprint, 400, 401, 403, 413, 415, 422, 429)
@by_device
@blueprint.doc(requestBody={"required": True, "content": PICTURE})
@blueprint.response(201, KeptPhoto)
@blueprint.alt_response(
    200,
    schema=KeptPhoto,
    description="Held already, or taken away by a redaction",
    success=True,
)
def put_photo(credential: Credential, sha256: str) -> tuple[dict[str, Any], int]:
    """Keep a photo of at most 4 MiB: JPEG, WebP or PNG"""
    brought, now = (credential.brewery, credential.device), now_ms()
    allowance.check(*brought, (allowance.PHOTOS, allowance.PHOTO_BYTES), now=now)
    content = body_of(request, PHOTO_BYTES)
    # Counted before it is looked at: what is no picture costs as much.
    allowance.bring(*brought, {allowance.PHOTOS: 1, allowance.PHOTO_BYTES: len(content)}, now=now)
    if sha256 in redacting.photos(credential.brewery) and signing.sha256(content) == sha256:
        # it was taken out of the record: whoever still holds it need not offer it again, and it is not kept
        return {"sha256": sha256, "bytes": len(content)}, 200
    new = kept().photos.keep(credential.brewery, sha256, request.mimetype, content)
    return {"sha256": sha256, "bytes": len(content)}, 201 if new else 200


@blueprint.route("/photos/<sha256>", methods=["GET"])
@answers(blueprint, 401, 404)
@by_device
@blueprint.doc(responses={"200": {"description": "The photo, as it came", "content": PICTURE}})
def get_photo(credential: Credential, sha256: str) -> Response:
    """A photo, as it came"""
    photo = kept().photos.held(credential.brewery, sha256)
    if photo and sha256 in redacting.photos(credential.brewery):
        photo = None
    if photo is None:
        raise ProblemError(404, "not-found", "There is no photo of that hash here.")
    response = Response(photo.content, content_type=photo.mime)
    # Whoever opens it by its address gets a picture and nothing that runs.
    response.headers["Content-Security-Policy"] = "sandbox"
    response.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    response.vary.add("Cookie")
    return response
