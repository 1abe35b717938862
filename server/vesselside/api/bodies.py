"""JSON bodies: each is read by `intake.parse`, and turned away when it holds what nothing here can keep."""

from typing import Any

from flask import Request
from flask_smorest import Blueprint as Routes
from webargs.core import missing
from webargs.flaskparser import FlaskParser, is_json_request

from vesselside.store.log import intake

from .errors import BodyError


class _Parser(FlaskParser):
    """Reads bodies as the exchange does: no nesting, number or key of theirs can raise."""

    def load_json(self, req: Request, schema: object) -> Any:
        """The body's value, or nothing when it is empty or no JSON by its type."""
        if not is_json_request(req):
            return missing
        data = req.get_data(cache=True)
        return read(data) if data else missing


class Blueprint(Routes):  # type: ignore[misc]  # flask-smorest carries no types
    """Routes whose bodies are read so."""

    ARGUMENTS_PARSER = _Parser()


def read(data: bytes) -> Any:
    """The value of a body; NotJsonError or BodyError when it is none that can be taken."""
    value = intake.parse(data)
    wrong = intake.unkeepable(value)
    if wrong:
        raise BodyError(*wrong)
    return value
