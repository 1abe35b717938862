"""`/api/log`: signed heads of the Merkle log and the proofs that go with them (RFC 9162)."""

from typing import Any

from marshmallow import fields, validate

from vesselside.store import book
from vesselside.store.base.db import now_ms
from vesselside.store.log import intake, merkle, tree
from vesselside.store.read import doubts
from vesselside.store.site.devices import Credential

from .bodies import Blueprint
from .credentials import by_device
from .documents import Lenient, answers
from .errors import BodyError
from .shaped import Shaped

LARGEST = 2**53 - 1

blueprint = Blueprint(
    "log", __name__, url_prefix="/api/log", description="What proves the log: heads and paths"
)


def _count(**more: Any) -> fields.Integer:
    return fields.Integer(validate=validate.Range(0, LARGEST), **more)


def _hashes() -> fields.List[Any]:
    return fields.List(
        fields.String(metadata={"pattern": "^[0-9a-f]{64}$"}),
        required=True,
        metadata={"description": "In hex"},
    )


class HeadAnswer(Lenient):
    """A signed head, its members beside one another."""

    log = fields.String(required=True, metadata={"description": "Which log: the brewery's id"})
    size = fields.Integer(required=True)
    root = fields.String(required=True, metadata={"description": "In hex"})
    time = fields.String(required=True)
    key = Shaped("PublicKey", required=True)
    signature = fields.String(required=True, metadata={"description": "ES256 over the rest, canonical"})


class ProofQuery(Lenient):
    """Of which leaf, in the tree of how many."""

    index = _count(required=True)
    size = _count(required=True)


class Path(Lenient):
    """The hashes from a leaf to the root."""

    index = fields.Integer(required=True)
    size = fields.Integer(required=True)
    path = _hashes()


class ConsistencyQuery(Lenient):
    """Between which sizes."""

    first = _count(required=True)
    second = _count(required=True)


class Consistency(Lenient):
    """The hashes that show the larger tree to begin with the smaller."""

    path = _hashes()


@blueprint.route("/head", methods=["GET"])
@answers(blueprint, 401)
@by_device
@blueprint.response(200, HeadAnswer)
def head(credential: Credential) -> dict[str, Any]:
    """The head of the log as it stands, signed"""
    return tree.signed(book(credential.brewery), now_ms()).told()


class Doubt(Lenient):
    """What a phone saw: which way the log does not go on from a head that it keeps."""

    kind = fields.String(required=True, validate=validate.OneOf(doubts.KINDS))
    kept = Shaped("TreeHead", required=True)
    told = Shaped("TreeHead", allow_none=True, load_default=None)


@blueprint.route("/doubts", methods=["POST"])
@answers(blueprint, 400, 401, 403, 413, 422)
@by_device
@blueprint.arguments(Doubt)
@blueprint.response(204)
def doubt(credential: Credential, sent: dict[str, Any]) -> None:
    """Tell the desk that the log was not the one this phone had been shown"""
    if intake.unkeepable(sent):
        raise BodyError("kept", "It holds what no record can.")
    log = book(credential.brewery)
    try:
        doubts.tell(log, credential.device, sent["kind"], sent["kept"], sent["told"], now=now_ms())
    except doubts.DoubtError as error:
        raise BodyError("kept", str(error)) from error


@blueprint.route("/proof", methods=["GET"])
@answers(blueprint, 401, 422)
@by_device
@blueprint.arguments(ProofQuery, location="query")
@blueprint.response(200, Path)
def proof(credential: Credential, asked: dict[str, int]) -> dict[str, Any]:
    """The path from a record to the root of the log of that size"""
    index, size = asked["index"], _within(credential.brewery, "size", asked["size"])
    if index >= size:
        raise BodyError("index", f"A log of {size} records has none at {index}.")
    path = merkle.inclusion(index, size, tree.nodes_of(credential.brewery))
    return {"index": index, "size": size, "path": [step.hex() for step in path]}


@blueprint.route("/consistency", methods=["GET"])
@answers(blueprint, 401, 422)
@by_device
@blueprint.arguments(ConsistencyQuery, location="query")
@blueprint.response(200, Consistency)
def consistency(credential: Credential, asked: dict[str, int]) -> dict[str, Any]:
    """What shows that the log of one size begins with the log of a smaller one"""
    second = _within(credential.brewery, "second", asked["second"])
    first = asked["first"]
    if not 0 < first <= second:
        raise BodyError("first", f"It is from 1 to {second}.")
    path = merkle.consistency(first, second, tree.nodes_of(credential.brewery))
    return {"path": [step.hex() for step in path]}


def _within(brewery: str, field: str, size: int) -> int:
    held = tree.size(brewery)
    if size > held:
        raise BodyError(field, f"The log has {held} records.")
    return size
