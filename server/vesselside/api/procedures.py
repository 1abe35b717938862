"""`/api/desk/procedures`: procedures written at the desk by a manager. A published version never changes."""

import re
from typing import Any

from marshmallow import INCLUDE, Schema, fields, validate

from vesselside import library
from vesselside.core.run.events import is_id
from vesselside.library import form
from vesselside.library.difference import difference
from vesselside.store import book, kept
from vesselside.store.fold import projections
from vesselside.store.site import people, procedures, publishing
from vesselside.store.site.devices import Credential

from .bodies import Blueprint
from .credentials import by_manager
from .documents import Lenient, answers, text_field
from .errors import FaultsError, ProblemError
from .shaped import Shaped, many

blueprint = Blueprint(
    "procedures", __name__, url_prefix="/api/desk/procedures", description="Procedures written at the desk"
)
FILE_LETTERS = 400_000
DRAFT = "A `ProcedureFile` as the form holds it; open on purpose: it may be half written, and holds YAML under `rest`"


def _draft() -> fields.Dict:
    return fields.Dict(required=True, metadata={"description": DRAFT})


class ProcedureList(Lenient):
    """Every procedure with its versions, newest first: `{version, sha256, published, person, note}`."""

    procedures = many("ProcedureVersions")


class ProcedureForm(Lenient):
    """What a form asks of a procedure, and what it may choose from."""

    fields_ = fields.List(Shaped("FormField"), required=True, data_key="fields", attribute="fields")
    cautions = many("CautionChoice")
    settings = many("SiteFigure")
    calculations = many("CalculationChoice")


class Held(Lenient):
    """One version: as published, as the editor's form holds it, and as its file."""

    procedure = Shaped("Procedure", required=True)
    draft = _draft()
    file = fields.String(required=True)


class Checked(Lenient):
    """Every fault. With none: the procedure the draft stands for, its file, and what differs from the newest."""

    faults = many("Fault")
    procedure = Shaped("Procedure", required=True, allow_none=True)
    file = fields.String(required=True, allow_none=True)
    newest = fields.Integer(required=True, allow_none=True)
    difference = many("Change")


class Drafted(Schema):
    """A procedure, or a draft of one as the editor's form holds it."""

    class Meta:
        unknown = INCLUDE
        description = DRAFT


class FileText(Lenient):
    """A procedure file."""

    text = text_field(FILE_LETTERS, required=True)


class OpenedFile(Lenient):
    """The draft a file makes, and what is wrong with its procedure."""

    draft = _draft()
    faults = many("Fault")


class Which(Lenient):
    """Which two versions."""

    before = fields.Integer(required=True, validate=validate.Range(1, 9999))
    after = fields.Integer(required=True, validate=validate.Range(1, 9999))


class Difference(Lenient):
    """What changed, top to bottom."""

    rows = many("Change")


class Publication(Drafted):
    """A procedure as data, judged field by field, and a `note` of what changed."""

    note = text_field(400)


class Published(Lenient):
    """The hash of what was published."""

    sha256 = fields.String(required=True)


@blueprint.route("", methods=["GET"])
@answers(blueprint, 401, 403)
@by_manager
@blueprint.response(200, ProcedureList)
def list_procedures(credential: Credential, _session: people.Session) -> dict[str, Any]:
    """Every procedure, its versions, and who published each with what note"""
    return {"procedures": procedures.listed(credential.brewery)}


@blueprint.route("", methods=["POST"])
@answers(blueprint, 400, 401, 403, 409, 413, 422)
@by_manager
@blueprint.arguments(Publication)
@blueprint.response(201, Published)
def publish(credential: Credential, session: people.Session, sent: dict[str, Any]) -> dict[str, str]:
    """Publish the next version of a procedure, or a first one"""
    draft = {key: value for key, value in sent.items() if key != "note"}
    procedure, faults = library.drafted(draft, _cautions(credential))
    if faults:
        raise FaultsError(_told(faults))
    note = sent.get("note")
    sha256 = publishing.publish_next(book(credential.brewery), procedure, by=session.person, note=note)
    # runs that came before their procedure
    kept().folder.wake(credential.brewery)
    return {"sha256": sha256}


@blueprint.route("/form", methods=["GET"])
@answers(blueprint, 401, 403)
@by_manager
@blueprint.response(200, ProcedureForm)
def get_form(credential: Credential, _session: people.Session) -> dict[str, Any]:
    """What a form asks of a procedure, and what it may choose from"""
    cautions = projections.cautions_of(credential.brewery)
    rows = [row for held in procedures.newest(credential.brewery) for row in held.get("settings", [])]
    return {
        "fields": form.described(),
        "cautions": [{key: row[key] for key in ("id", "title", "group")} for row in cautions],
        "settings": sorted({row["id"]: row for row in rows}.values(), key=lambda row: row["label"]),
        "calculations": form.calculations_described(),
    }


@blueprint.route("/check", methods=["POST"])
@answers(blueprint, 400, 401, 403, 413, 422)
@by_manager
@blueprint.arguments(Drafted)
@blueprint.response(200, Checked)
def check(credential: Credential, _session: people.Session, sent: dict[str, Any]) -> dict[str, Any]:
    """Judge a draft without publishing it"""
    procedure, faults = library.drafted(sent, _cautions(credential))
    name = sent.get("id")
    newest = procedures.newest_of(credential.brewery, name) if isinstance(name, str) and is_id(name) else None
    return {
        "faults": _told(faults),
        "procedure": procedure or None,
        "file": _file(procedure) if procedure else None,
        "newest": newest["version"] if newest else None,
        "difference": difference(newest, procedure) if newest and procedure else [],
    }


@blueprint.route("/file", methods=["POST"])
@answers(blueprint, 400, 401, 403, 413, 422)
@by_manager
@blueprint.arguments(FileText)
@blueprint.response(200, OpenedFile)
def open_file(credential: Credential, _session: people.Session, sent: dict[str, Any]) -> dict[str, Any]:
    """Read a procedure file into a draft"""
    draft, faults = library.opened(sent["text"])
    if faults:
        raise FaultsError(_told(faults))
    _, faults = library.drafted(draft, _cautions(credential))
    return {"draft": draft, "faults": _told(faults)}


@blueprint.route("/<procedure>/versions/<version>", methods=["GET"])
@answers(blueprint, 401, 403, 404)
@by_manager
@blueprint.response(200, Held)
def get_version(
    credential: Credential, _session: people.Session, procedure: str, version: str
) -> dict[str, Any]:
    """One version of a procedure, whole"""
    held = _version(credential, procedure, int(version) if re.fullmatch("[0-9]{1,9}", version) else 0)
    return {"procedure": held, "draft": form.draft_of(held), "file": _file(held)}


@blueprint.route("/<procedure>/difference", methods=["GET"])
@answers(blueprint, 401, 403, 404, 422)
@by_manager
@blueprint.arguments(Which, location="query")
@blueprint.response(200, Difference)
def get_difference(
    credential: Credential, _session: people.Session, query: dict[str, int], procedure: str
) -> dict[str, Any]:
    """What changed between two versions of a procedure"""
    before = _version(credential, procedure, query["before"])
    return {"rows": difference(before, _version(credential, procedure, query["after"]))}


def _version(credential: Credential, name: str, number: int) -> dict[str, Any]:
    held = procedures.version(credential.brewery, name, number) if is_id(name) else None
    if held is None:
        raise ProblemError(404, "not-found", "No such version of a procedure is held here.")
    return held


def _cautions(credential: Credential) -> list[str]:
    return [caution["id"] for caution in projections.cautions_of(credential.brewery)]


def _file(procedure: dict[str, Any]) -> str:
    return library.written({key: value for key, value in procedure.items() if key != "sha256"})


def _told(faults: list[library.Fault]) -> list[dict[str, Any]]:
    return [fault.told() for fault in faults]
