"""Publishing procedures and cautions. A published version is immutable: other content under it is refused."""

from collections.abc import Iterable

from sqlalchemy import func, select, update

from vesselside.store.base.db import Sessions, now_ms, writing
from vesselside.store.base.models import CautionVersion, ProcedureVersion, Run
from vesselside.store.log import signing, writer
from vesselside.store.log.book import Book
from vesselside.store.site.procedures import publications
from vesselside.store.site.siting import Content, ReferenceDataError, touch


class OutOfTurnError(ReferenceDataError):
    """Another version has been published meanwhile, or this one already was with other content."""


def publish_procedure(
    book: Book,
    procedure: Content,
    *,
    by: str = writer.COMMAND_LINE,
    note: str | None = None,
    now: int | None = None,
) -> str:
    """Publish a version of a procedure, with a note of what changed; its SHA-256. The same again changes nothing."""
    with writing(book.brewery) as session:
        return _publish_procedure(session, book, procedure, by, now_ms() if now is None else now, note)


def publish_next(book: Book, procedure: Content, *, by: str, note: str | None = None) -> str:
    """As `publish_procedure`, but only the version after the newest. OutOfTurnError otherwise."""
    brewery = book.brewery
    with writing(brewery) as session:
        name, version = procedure["id"], procedure["version"]
        newest = session.execute(
            select(func.max(ProcedureVersion.version)).where(
                ProcedureVersion.brewery == brewery, ProcedureVersion.id == name
            )
        ).scalar()
        held = session.get(ProcedureVersion, (brewery, name, version))
        if held is None and version != (newest or 0) + 1:
            raise OutOfTurnError(_out_of_turn(name, newest))
        return _publish_procedure(session, book, procedure, by, now_ms(), note)


def _out_of_turn(name: str, newest: int | None) -> str:
    if newest is None:
        return f"There is no procedure {name} yet: its first version is 1."
    return f"The procedure {name} is at version {newest} now: look at that, then make version {newest + 1}."


def publish_caution(brewery: str, caution: Content, *, now: int | None = None) -> None:
    """Publish a version of a caution. The same content again changes nothing."""
    with writing(brewery) as session:
        _publish_caution(session, brewery, caution, now_ms() if now is None else now)


def publish_library(
    book: Book, procedures: Iterable[Content], cautions: Iterable[Content], *, now: int | None = None
) -> list[str]:
    """Publish all that is not published yet, in one go, and name what was left out.

    A procedure of which a person here has published a version is the brewery's own: what ships does not replace it.
    """
    brewery, now = book.brewery, now_ms() if now is None else now
    left: list[str] = []
    with writing(brewery) as session:
        for caution in cautions:
            _publish_caution(session, brewery, caution, now)
        own = {event["data"]["id"] for event in publications(brewery) if event.get("person")}
        for procedure in procedures:
            if procedure["id"] not in own:
                _publish_procedure(session, book, procedure, writer.COMMAND_LINE, now)
            elif not _held(session, brewery, procedure):
                left.append(f"{procedure['id']} version {procedure['version']}")
    return left


def _held(session: Sessions, brewery: str, procedure: Content) -> bool:
    held = session.get(ProcedureVersion, (brewery, procedure["id"], procedure["version"]))
    return held is not None and held.sha256 == procedure["sha256"]


def _publish_procedure(
    session: Sessions, book: Book, procedure: Content, by: str, now: int, note: str | None = None
) -> str:
    brewery = book.brewery
    content = {key: value for key, value in procedure.items() if key != "sha256"}
    name, version = content["id"], content["version"]
    sha256 = signing.sha256(signing.canonical(content))
    held = session.get(ProcedureVersion, (brewery, name, version))
    if held:
        if held.sha256 != sha256:
            raise OutOfTurnError(
                f"{name} version {version} is published with other content: give it a new version."
            )
        return sha256
    session.add(
        ProcedureVersion(
            brewery=brewery, id=name, version=version, sha256=sha256, content=content, published=now
        )
    )
    session.flush()
    data = {"id": name, "version": version, "sha256": sha256} | ({"note": note} if note else {})
    writer.administer(book, "procedure.published", data, by=by, now=now)
    _awaited(session, brewery, name, version)
    return sha256


def put_back(session: Sessions, brewery: str, published: Content, procedure: Content, now: int) -> bool:
    """Keep the text of a version that was published before the log was put back; false when it is not that text."""
    content = {key: value for key, value in procedure.items() if key != "sha256"}
    name, version, sha256 = published["id"], published["version"], published["sha256"]
    if (content.get("id"), content.get("version")) != (name, version):
        return False
    if signing.sha256(signing.canonical(content)) != sha256:
        return False
    held = session.get(ProcedureVersion, (brewery, name, version))
    if held is None:
        session.add(
            ProcedureVersion(
                brewery=brewery, id=name, version=version, sha256=sha256, content=content, published=now
            )
        )
        session.flush()
        _awaited(session, brewery, name, version)
    return held is None or held.sha256 == sha256


def _awaited(session: Sessions, brewery: str, name: str, version: int) -> None:
    # A run may have been received before its procedure was.
    session.execute(
        update(Run)
        .where(Run.brewery == brewery, Run.procedure == name, Run.version == version)
        .values(stale=True)
    )
    touch(session, brewery)


def _publish_caution(session: Sessions, brewery: str, caution: Content, now: int) -> None:
    name, version = caution["id"], caution["version"]
    held = session.get(CautionVersion, (brewery, name, version))
    if held:
        if held.content != caution:
            what = f"Caution {name} version {version}"
            raise ReferenceDataError(f"{what} is published with other content; give it a new version.")
        return
    session.add(CautionVersion(brewery=brewery, id=name, version=version, content=caution, published=now))
    touch(session, brewery)
