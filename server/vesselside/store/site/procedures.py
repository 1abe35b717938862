"""The published procedures read: which versions there are, who published each and with what note, one version whole."""

from typing import Any

from sqlalchemy import select

from vesselside.store.base.db import db
from vesselside.store.base.instants import text_of
from vesselside.store.base.models import ProcedureVersion
from vesselside.store.fold.projections import administration

Content = dict[str, Any]


def publications(brewery: str) -> list[dict[str, Any]]:
    """The administration events that published a version, in order; who did it and the note are theirs."""
    _, events = administration(brewery)
    return [event for event in events if event["type"] == "procedure.published"]


def listed(brewery: str) -> list[dict[str, Any]]:
    """Every procedure by id, `{id, title, kind, versions: [{version, sha256, published, person, note}]}`."""
    said = {(event["data"]["id"], event["data"]["version"]): event for event in publications(brewery)}
    rows = db.session.execute(
        select(
            ProcedureVersion.id,
            ProcedureVersion.version,
            ProcedureVersion.sha256,
            ProcedureVersion.published,
            ProcedureVersion.content,
        )
        .where(ProcedureVersion.brewery == brewery)
        .order_by(ProcedureVersion.id, ProcedureVersion.version.desc())
    )
    found: dict[str, dict[str, Any]] = {}
    for row in rows:
        newest = {"id": row.id, "title": row.content["title"], "kind": row.content["kind"], "versions": []}
        event = said.get((row.id, row.version), {"data": {}})
        found.setdefault(row.id, newest)["versions"].append(
            {
                "version": row.version,
                "sha256": row.sha256,
                "published": text_of(row.published),
                "person": event.get("person"),
                "note": event["data"].get("note"),
            }
        )
    return list(found.values())


def version(brewery: str, name: str, number: int) -> Content | None:
    """One version of a procedure with its `sha256`, or None when it was never published here."""
    held = db.session.get(ProcedureVersion, (brewery, name, number))
    return {**held.content, "sha256": held.sha256} if held else None


def newest_of(brewery: str, name: str) -> Content | None:
    """The newest version of one procedure, or None when there is none."""
    query = (
        select(ProcedureVersion.content)
        .where(ProcedureVersion.brewery == brewery, ProcedureVersion.id == name)
        .order_by(ProcedureVersion.version.desc())
        .limit(1)
    )
    return db.session.execute(query).scalar()


def newest(brewery: str) -> list[Content]:
    """The newest version of every procedure, by id."""
    rows = db.session.execute(
        select(ProcedureVersion.id, ProcedureVersion.content)
        .where(ProcedureVersion.brewery == brewery)
        .order_by(ProcedureVersion.id, ProcedureVersion.version)
    )
    return list({row.id: row.content for row in rows}.values())
