"""What a person gives with an action, checked before it is recorded."""

from vesselside.core.ground import days
from vesselside.core.ground.errors import CoreError
from vesselside.core.run.events import is_id

_MORE = (
    ("cause", "Say what it came from."),
    ("prevention", "Say what is to keep it from coming again."),
    ("owner", "Say who sees to it."),
    ("due", "Say by which day."),
)


def words(given: dict, name: str, asked: str) -> str:
    """The text given under `name`, of 1 to 4000 characters. CoreError, with what is `asked`, where there is none."""
    text = given.get(name)
    if not isinstance(text, str) or not text.strip():
        raise CoreError("empty", asked, field=name)
    if len(text) > 4000:
        raise CoreError("too-long", "Keep it under 4000 characters.", field=name)
    return text.strip()


def answering(given: dict) -> dict:
    """What was done about it; where the rest of the answer is given, that too. Who and by when, if it is not over."""
    data = {
        "deviation": given["deviation"],
        "action": words(given, "text", "Say what was done about it."),
    }
    pending = bool(given.get("pending"))
    for name, ask in _MORE:
        if given.get(name) or (pending and name != "cause"):
            data[name] = words(given, name, ask)
    if "due" in data:
        try:
            days.parse(data["due"])
        except CoreError as error:
            raise CoreError(error.code, error.text, field="due") from None
    if "owner" in data and not is_id(data["owner"]):
        raise CoreError("no-such-choice", "Choose one of the people here.", field="owner")
    if pending:
        data["pending"] = True
    return data
