"""Commands that go over the record and prove it: rebuild, redact, evidence, verify, check."""

import json
import logging
import sys
from pathlib import Path

import click
from sqlalchemy.exc import DBAPIError

from vesselside import library, store
from vesselside.cli.ground import (
    FILE,
    NEW_FILE,
    EnvironmentFault,
    Found,
    chosen,
    main,
    meant,
    of_brewery,
    with_database,
)
from vesselside.store.base import guard, schema
from vesselside.store.fold import rebuild
from vesselside.store.log import intake
from vesselside.store.photos.files import PhotoStoreError
from vesselside.store.read import check as checking
from vesselside.store.read import evidence as proving
from vesselside.store.read import printed, witness
from vesselside.store.site import redacting

PRINTED = click.option(
    "--printed",
    "papers",
    multiple=True,
    metavar="TEXT",
    help="What the square code of a printed record says.",
)


@main.command("rebuild")
@click.option("--apply", is_flag=True, help="Replace what differs, and keep what it replaces.")
@of_brewery
@with_database
def rebuild_all(apply: bool) -> None:
    """Fold the whole log again and list every difference from what is kept; nothing is replaced unless told to."""
    held = chosen()
    if held is None:
        return
    brewery, name = held
    _told_in_words()
    report = rebuild.rebuild(brewery, apply=apply)
    for line in report.changed:
        click.echo(f"{name}: judged by another core: {line}")
    for line in (*report.faults, *report.broken):
        click.echo(f"{name}: {line}")
    click.echo(f"{name}: {report.runs} runs folded, {len(report.faults)} differences")
    if report.faults:
        said = "What was kept was not what the log says; it is now, and what was replaced is kept too."
        if not apply:
            said = "What is kept is not what the log says. `rebuild --apply` replaces it, and keeps what it replaces."
        raise Found(said + _left(len(report.broken)))
    if report.broken:
        raise Found(_left(len(report.broken)).strip())


def _told_in_words() -> None:
    """What cannot be worked out is told in a line, so the server's own log need not tell it too."""
    logging.getLogger(guard.__name__).setLevel(logging.ERROR)


def _left(broken: int) -> str:
    return f" {broken} runs cannot be worked out: their records are safe, all else stands." if broken else ""


@main.command()
@click.argument("event")
@click.argument("reason")
@click.option("--by", "person", metavar="ID", help="The manager who asked for it, by id (`person list`).")
@of_brewery
@with_database
def redact(event: str, reason: str, person: str | None) -> None:
    """Take the text or photo out of the record EVENT for good, for REASON; its hash stays, and the log tells it."""
    brewery = meant()
    try:
        gone = redacting.redact(store.book(brewery), event, reason, person=person)
    except redacting.RedactionError as error:
        raise click.UsageError(str(error)) from error
    try:
        for photo in sorted(gone.photos):
            store.kept().photos.remove(brewery, photo)
    except PhotoStoreError as error:
        raise EnvironmentFault(
            f"It is out of the record, but the photo's file is still there: {error}"
        ) from error
    try:
        schema.scrub()
    except DBAPIError as error:
        said = "It is out of the record. The database's file may hold traces of it until this is done again:"
        click.echo(f"{said} {error.orig}", err=True)
    click.echo(
        "Copies and evidence files made before hold it still; phones drop it when they next reach the server."
    )


@main.command()
@click.argument("run")
@click.option("-o", "--output", required=True, type=NEW_FILE, help="The file to write.")
@click.option("--head", "heads", multiple=True, type=FILE, help="A head of the log that a phone has kept.")
@PRINTED
@of_brewery
@with_database
def evidence(run: str, output: Path, heads: tuple[Path, ...], papers: tuple[str, ...]) -> None:
    """Write the records of RUN, what vouches for them and their places in the log into one file, for `verify`."""
    kept = [head for file in heads for head in _heads(file)]
    try:
        made = proving.made(store.book(meant()), run, kept, store.now_ms(), _papers(papers))
    except proving.EvidenceError as error:
        raise click.UsageError(str(error)) from error
    try:
        output.write_text(json.dumps(made, ensure_ascii=False, indent=1), encoding="utf-8")
    except OSError as error:
        raise EnvironmentFault(f"{output} cannot be written: {error.strerror}") from error


@main.command()
@click.argument("file", type=FILE)
@click.option("--head", "heads", multiple=True, type=FILE, help="A head of the log that a phone has kept.")
@PRINTED
def verify(file: Path, heads: tuple[Path, ...], papers: tuple[str, ...]) -> None:
    """Judge a file that `evidence` wrote, with no database and no network: ok, or what does not hold and a code."""
    kept = [head for one in heads for head in _heads(one)]
    try:
        evidence = intake.parse(file.read_bytes())
        notes = proving.judge(evidence, kept, _papers(papers))
    except intake.NotJsonError as error:
        raise click.UsageError(f"{file} is no JSON: {error}") from error
    except proving.BrokenError as error:
        click.echo(str(error))
        sys.exit(1)
    for note in notes:
        click.echo(note, err=True)
    if not kept and not papers:
        click.echo(proving.untied(evidence), err=True)
    click.echo("ok")


@main.command()
@click.argument("files", nargs=-1, type=FILE)
@click.option("--head", "heads", multiple=True, type=FILE, help="A head of the log that a phone has kept.")
@PRINTED
@of_brewery
def check(files: tuple[Path, ...], heads: tuple[Path, ...], papers: tuple[str, ...]) -> None:
    """Check the library's files, the database, and the whole record from its bytes and keys.

    With FILES, check only these procedure files, each by itself: every fault by file, line and field.
    """
    if files:
        _tell([str(fault) for fault in library.check_files(files)])
    else:
        _check_all([head for file in heads for head in _heads(file)], _papers(papers))


@with_database
def _check_all(heads: list[witness.Kept], papers: list[printed.Printed]) -> None:
    kept, held = store.kept(), chosen()
    _told_in_words()
    found = checking.faults(kept.keys, kept.photos, [held] if held else [], heads, papers)
    for brewery, name in [held] if held else []:
        for note in checking.notes(brewery):
            click.echo(f"{name}: {note}", err=True)
    _tell([*map(str, library.check()), *found])


def _papers(texts: tuple[str, ...]) -> list[printed.Printed]:
    try:
        return [printed.read(text) for text in texts]
    except witness.HeadError as error:
        raise click.UsageError(str(error)) from error


def _heads(file: Path) -> list[witness.Kept]:
    try:
        return witness.read_heads(json.loads(file.read_bytes()))
    except ValueError as error:
        raise click.UsageError(f"{file} holds no head of a log: {error}") from error


def _tell(found: list[str]) -> None:
    for line in found:
        click.echo(line)
    if found:
        raise Found(f"{len(found)} faults")
    click.echo("ok")
