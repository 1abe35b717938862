"""`/api/desk/…`: the desk's own calls. A manager's session is needed; reviews are signed events, no calls."""

from typing import Any

from marshmallow import fields, validate

from vesselside.core.run.events import is_id
from vesselside.store import book, kept
from vesselside.store.base.db import now_ms
from vesselside.store.base.instants import text_of
from vesselside.store.read import administration, attention, figures, overrides
from vesselside.store.site import announcing, devices, people, siting
from vesselside.store.site.devices import CODE_MS, Credential
from vesselside.store.site.secrets import PASSWORD_LETTERS

from . import paging
from .bodies import Blueprint
from .credentials import by_manager
from .documents import Lenient, answers, behind_field, role_field, text_field
from .errors import ProblemError
from .shaped import Shaped, many

blueprint = Blueprint("desk", __name__, url_prefix="/api/desk", description="The manager's desk")


PIN = {"pattern": "^[0-9]{6,64}$", "description": "None that is easy to guess"}
PASSWORD = {"minLength": PASSWORD_LETTERS, "description": "None that is easy to guess"}


class Needs(Lenient):
    """Counts, the runs behind them, what is wrong at the plant, what may be filled, how often rules were overridden."""

    counts = fields.Dict(values=fields.Integer(), required=True)
    runs = Shaped("NeedsRuns", required=True)
    vessels = many("VesselStanding")
    instruments = many("InstrumentStanding")
    overrides = many("OverrideShare")
    announcements = many("Administered")
    behind = behind_field()
    holds = many("VesselStanding")
    checks = many("VesselStanding")
    standing = many("StandingRun")
    filling = many("FillStanding")
    silent = many("DeviceHeard")
    doubts = many("LogDoubted")
    restores = many("LogRestored")


class ReviewQuery(Lenient):
    """Which part of the queue."""

    after = fields.String(metadata={"description": "`next` of the page before"})
    limit = fields.Integer(validate=validate.Range(1, 200), load_default=50)


class Reviews(Lenient):
    """Closed runs that no review stands for, those that wait longest first."""

    reviews = many("RunLine")
    next = fields.String(required=True, allow_none=True)
    behind = behind_field()


class PageQuery(Lenient):
    """Which part of a list that is told newest first."""

    after = fields.String(validate=validate.Regexp(r"^[0-9]{16}\Z"))
    limit = fields.Integer(validate=validate.Range(1, 200), load_default=50)


class Quarantine(Lenient):
    """What was stored but is not believed, newest first."""

    quarantine = many("Quarantined")
    next = fields.String(required=True, allow_none=True)


class Administration(Lenient):
    """What was administered, newest first."""

    administration = many("Administered")
    next = fields.String(required=True, allow_none=True)


class PutAway(Lenient):
    """Up to which of them the announcements were read."""

    through = fields.String(required=True, validate=validate.Regexp(r"^[0-9]{16}\Z"))


class DeviceList(Lenient):
    """Every device there ever was."""

    devices = many("DeviceHeard")


class Figures(Lenient):
    """Every figure, limit and statement of the site."""

    figures = many("OwnFigure")


class Reason(Lenient):
    """Why."""

    reason = text_field(400, required=True)


class CodeFor(Lenient):
    """What the device to be enrolled is called."""

    name = text_field(80, required=True)


class OneTimeCode(Lenient):
    """A code, shown once."""

    code = fields.String(required=True)
    expires = fields.String(required=True)


class NewPerson(Lenient):
    """A person to be added."""

    name = text_field(80, required=True)
    role = role_field(required=True)
    pin = text_field(64, metadata=PIN)
    password = text_field(1000, metadata=PASSWORD)


class PersonChange(Lenient):
    """What is to change; all that is left out stays."""

    name = text_field(80)
    role = role_field()
    status = fields.String(validate=validate.OneOf(["active", "gone"]))
    pin = text_field(64, metadata=PIN)
    password = text_field(1000, metadata=PASSWORD)


class PersonId(Lenient):
    """The person."""

    person = fields.String(required=True)


class PersonList(Lenient):
    """Everyone, those who have left included."""

    people = many("PersonStanding")


class Setting(Lenient):
    """A site figure."""

    value = text_field(200, required=True)


@blueprint.route("/needs", methods=["GET"])
@answers(blueprint, 401, 403)
@by_manager
@blueprint.response(200, Needs)
def needs(credential: Credential, _session: people.Session) -> dict[str, Any]:
    """What needs me now"""
    now = now_ms()
    behind = kept().folder.settled(credential.brewery)
    shares = overrides.share(credential.brewery, now=now)
    needed = attention.needs(credential.brewery, behind, now=now)
    needed["counts"]["announcements"], rows = administration.announced(credential.brewery)
    return {**needed, "overrides": shares, "announcements": rows}


@blueprint.route("/reviews", methods=["GET"])
@answers(blueprint, 401, 403, 422)
@by_manager
@blueprint.arguments(ReviewQuery, location="query")
@blueprint.response(200, Reviews)
def list_reviews(credential: Credential, _session: people.Session, query: dict[str, Any]) -> dict[str, Any]:
    """The queue of runs to review"""
    behind = kept().folder.settled(credential.brewery)
    opened, run = paging.place(query["after"], 2) if "after" in query else ("", "")
    after = (opened, run) if run else None
    rows, more = attention.reviews(credential.brewery, after=after, limit=query["limit"])
    return {"reviews": rows, "next": None if more is None else paging.token(more), "behind": behind}


@blueprint.route("/announcements", methods=["PUT"])
@answers(blueprint, 400, 401, 403, 413, 422)
@by_manager
@blueprint.arguments(PutAway)
@blueprint.response(204)
def put_away(credential: Credential, session: people.Session, sent: dict[str, str]) -> None:
    """Put away the announcements up to one that was read"""
    announcing.put_away(book(credential.brewery), int(sent["through"]), by=session.person)


@blueprint.route("/administration", methods=["GET"])
@answers(blueprint, 401, 403, 422)
@by_manager
@blueprint.arguments(PageQuery, location="query")
@blueprint.response(200, Administration)
def list_administration(
    credential: Credential, _session: people.Session, query: dict[str, Any]
) -> dict[str, Any]:
    """What was administered, and by whom"""
    before = int(query["after"]) if "after" in query else None
    rows = administration.listed(credential.brewery, before=before, limit=query["limit"] + 1)
    shown = rows[: query["limit"]]
    return {"administration": shown, "next": shown[-1]["sequence"] if len(rows) > len(shown) else None}


@blueprint.route("/quarantine", methods=["GET"])
@answers(blueprint, 401, 403, 422)
@by_manager
@blueprint.arguments(PageQuery, location="query")
@blueprint.response(200, Quarantine)
def quarantine(credential: Credential, _session: people.Session, query: dict[str, Any]) -> dict[str, Any]:
    """Records that were kept but are not believed"""
    before = int(query["after"]) if "after" in query else None
    rows = attention.quarantine(credential.brewery, before=before, limit=query["limit"] + 1)
    shown = rows[: query["limit"]]
    return {"quarantine": shown, "next": shown[-1]["sequence"] if len(rows) > len(shown) else None}


@blueprint.route("/devices", methods=["GET"])
@answers(blueprint, 401, 403)
@by_manager
@blueprint.response(200, DeviceList)
def list_devices(credential: Credential, _session: people.Session) -> dict[str, Any]:
    """Every device and how far it was heard"""
    return {"devices": attention.devices(credential.brewery)}


@blueprint.route("/devices/<device>/revocation", methods=["POST"])
@answers(blueprint, 400, 401, 403, 404, 413, 422)
@by_manager
@blueprint.arguments(Reason)
@blueprint.response(204)
def revoke(credential: Credential, session: people.Session, sent: dict[str, str], device: str) -> None:
    """End a device's credential; what it signed stays valid"""
    known = is_id(device) and devices.revoke(
        book(credential.brewery), device, sent["reason"], by=session.person
    )
    if not known:
        raise ProblemError(404, "not-found", "No device of that id is in use.")


@blueprint.route("/codes", methods=["POST"])
@answers(blueprint, 400, 401, 403, 413, 422)
@by_manager
@blueprint.arguments(CodeFor)
@blueprint.response(201, OneTimeCode)
def make_code(credential: Credential, session: people.Session, sent: dict[str, str]) -> dict[str, str]:
    """A one-time code for a new device, good for ten minutes"""
    now = now_ms()
    code = devices.make_code(book(credential.brewery), sent["name"], by=session.person, now=now)
    return {"code": code, "expires": text_of(now + CODE_MS)}


@blueprint.route("/people", methods=["GET"])
@answers(blueprint, 401, 403)
@by_manager
@blueprint.response(200, PersonList)
def list_people(credential: Credential, _session: people.Session) -> dict[str, Any]:
    """Everyone, those who have left included"""
    return {"people": people.everyone(credential.brewery)}


@blueprint.route("/people", methods=["POST"])
@answers(blueprint, 400, 401, 403, 413, 422)
@by_manager
@blueprint.arguments(NewPerson)
@blueprint.response(201, PersonId)
def add_person(credential: Credential, session: people.Session, sent: dict[str, Any]) -> dict[str, str]:
    """Add a person"""
    return {"person": people.add_person(book(credential.brewery), by=session.person, **sent)}


@blueprint.route("/people/<person>", methods=["PATCH"])
@answers(blueprint, 400, 401, 403, 404, 409, 413, 422)
@by_manager
@blueprint.arguments(PersonChange)
@blueprint.response(204)
def change_person(credential: Credential, session: people.Session, sent: dict[str, Any], person: str) -> None:
    """Change a name, a role, a secret, or that someone has left"""
    _own_id(person)
    people.change_person(book(credential.brewery), person, by=session.person, **sent)


@blueprint.route("/people/<person>/name", methods=["DELETE"])
@answers(blueprint, 401, 403, 404, 409)
@by_manager
@blueprint.response(204)
def erase_name(credential: Credential, session: people.Session, person: str) -> None:
    """Forget the name of someone who has left; the records keep the id"""
    if not is_id(person) or not people.erase_name(book(credential.brewery), person, by=session.person):
        raise ProblemError(404, "not-found", "There is no such person.")


@blueprint.route("/settings", methods=["GET"])
@answers(blueprint, 401, 403)
@by_manager
@blueprint.response(200, Figures)
def get_settings(credential: Credential, _session: people.Session) -> dict[str, Any]:
    """Every site figure as it stands, who signed it and when, and what rests on it"""
    return {"figures": figures.listed(credential.brewery)}


@blueprint.route("/settings/<name>", methods=["PUT"])
@answers(blueprint, 400, 401, 403, 404, 413, 422)
@by_manager
@blueprint.arguments(Setting)
@blueprint.response(204)
def change_setting(credential: Credential, session: people.Session, sent: dict[str, str], name: str) -> None:
    """Give a site figure, or sign it as it stands"""
    _own_id(name)
    usual = figures.usual_of(credential.brewery, name)
    fault = None if usual is None else figures.wrong(usual, sent["value"])
    if fault:
        raise ProblemError(422, "unfit", fault)
    siting.set_setting(book(credential.brewery), name, sent["value"], by=session.person)


def _own_id(text: str) -> None:
    if not is_id(text):
        raise ProblemError(404, "not-found", "Nothing of that id is held here.")
