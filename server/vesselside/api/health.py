"""`/healthz` and `/readyz`: alive, and able to write."""

from marshmallow import Schema, fields

from vesselside.store.base import readiness
from vesselside.store.base.db import now_ms

from .bodies import Blueprint
from .documents import answers

blueprint = Blueprint("health", __name__, description="Probes")


class Health(Schema):
    """A word."""

    status = fields.String(required=True)


@blueprint.route("/healthz", methods=["GET"])
@blueprint.response(200, Health)
def alive() -> dict[str, str]:
    """The process answers"""
    return {"status": "alive"}


@blueprint.route("/readyz", methods=["GET"])
@answers(blueprint)
@blueprint.response(200, Health)
def ready() -> dict[str, str]:
    """A row was really written and committed, now or within the last second"""
    readiness.write(now=now_ms())
    return {"status": "ready"}
