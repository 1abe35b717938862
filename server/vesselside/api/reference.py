"""`GET /api/reference`: all a phone needs to know beforehand."""

from flask import Response, request
from marshmallow import fields

from vesselside.store import book
from vesselside.store.site import reference
from vesselside.store.site.devices import Credential

from .bodies import Blueprint
from .credentials import by_device
from .documents import Lenient, answers
from .edge import takes_gzip
from .shaped import Shaped, many

blueprint = Blueprint("reference", __name__, url_prefix="/api", description="Reference data")


class Reference(Lenient):
    """Procedures, cautions, vessels, instruments, people, recipes, settings and keys."""

    version = fields.String(required=True)
    minCore = fields.String(required=True)  # noqa: N815  # the contract's name
    procedures = many("Procedure")
    cautions = many("Caution")
    vessels = many("VesselCard")
    instruments = many("InstrumentCard")
    people = many("PersonCard")
    recipes = many("Recipe")
    settings = fields.Dict(required=True, values=fields.String())
    devices = many("DeviceKey")
    server = Shaped("PublicKey", required=True, metadata={"description": "The public key of /server"})


@blueprint.route("/reference", methods=["GET"])
@answers(blueprint, 401)
@by_device
@blueprint.response(200, Reference, headers={"ETag": {"schema": {"type": "string"}}})
@blueprint.alt_response(304, description="The caller's copy is the current one", success=True)
def get_reference(credential: Credential) -> Response:
    """The reference data, by strong entity tag"""
    document = reference.document(book(credential.brewery))
    packed = takes_gzip(request)
    response = Response(document.packed if packed else document.body, content_type="application/json")
    if packed:
        response.headers["Content-Encoding"] = "gzip"
    # A strong tag stands for these very bytes, so each encoding has its own.
    response.set_etag(f"{document.tag}-gzip" if packed else document.tag)
    response.headers["Cache-Control"] = "private, no-cache"
    response.vary.add("Cookie")
    held = {f"{document.tag}-gzip", document.tag}
    if request.if_none_match.star_tag or any(request.if_none_match.is_strong(tag) for tag in held):
        response.status_code = 304
        response.set_data(b"")
    return response
