"""The command line. Exit 0: done; 1: something was found wrong; 2: wrong usage or environment."""

import json
import logging
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from pathlib import Path
from typing import Any

import click
from flask import Flask
from sqlalchemy.exc import DBAPIError

from vesselside.core.run.events import ROLES
from vesselside.store.base import guard, schema
from vesselside.store.copies import archive, restoring
from vesselside.store.fold import faulty, projections, rebuild
from vesselside.store.log import intake
from vesselside.store.read import check as checking
from vesselside.store.read import evidence as proving
from vesselside.store.read import printed, witness
from vesselside.store.site import founding, people, siting
from vesselside.store.site.secrets import PersonError

from . import __version__, copies, library, store
from .app import create_app
from .library import demo
from .serving import Server
from .settings import Settings, SettingsError

NAMELESS = "The brewery"
"""What a brewery is called until somebody names it."""
FILE = click.Path(exists=True, dir_okay=False, path_type=Path)
NEW_FILE = click.Path(dir_okay=False, path_type=Path)
PRINTED = click.option(
    "--printed",
    "papers",
    multiple=True,
    metavar="TEXT",
    help="What the square code of a printed record says.",
)
CHOSEN = "vesselside.brewery"
AT_START = 50
"""How many runs that a crash left unfolded are folded before serving; `migrate` folds all."""


class EnvironmentFault(click.ClickException):
    """What keeps any command from working; exit 2."""

    exit_code = 2


class Found(click.ClickException):
    """Something is wrong with the record or the library; exit 1."""

    exit_code = 1


@click.group()
@click.version_option(__version__, prog_name="vesselside")
def main() -> None:
    """Brewery procedures at the vessel."""
    os.umask(0o077)  # what is written is nobody else's to read


def _app() -> Flask:
    try:
        return create_app(Settings.from_environment())
    except SettingsError as error:
        raise EnvironmentFault(str(error)) from error


def with_database(command: Callable[..., None]) -> Callable[..., None]:
    """Run `command` inside an app whose database has the schema it needs."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        app = _app()
        try:
            with app.app_context():
                schema.require()
                command(*args, **kwargs)
        except schema.SchemaError as error:
            raise EnvironmentFault(str(error)) from error
        except DBAPIError as error:
            raise EnvironmentFault(f"The database cannot be used: {str(error.orig).strip()}") from error

    return run


def _choose(context: click.Context, _option: click.Parameter, brewery: str | None) -> None:
    context.meta[CHOSEN] = brewery


of_brewery = click.option(
    "--brewery",
    metavar="ID",
    expose_value=False,
    callback=_choose,
    help="The id of the brewery that is meant, where there are several.",
)
"""Lets a command be told which brewery is meant; `_chosen` and `_brewery` know it."""


def _chosen() -> tuple[str, str] | None:
    """The (id, name) of the brewery that is meant: the one named, else the only one; None when there is none yet."""
    held, named = founding.breweries(), click.get_current_context().meta.get(CHOSEN)
    if named is None and len(held) < 2:
        return held[0] if held else None
    for row in held:
        if row[0] == named:
            return row
    listed = "\n".join(f"  {brewery}  {name}" for brewery, name in held)
    said = f"There is no brewery {named} here" if named else "There are several breweries here"
    raise EnvironmentFault(f"{said}. Name one with --brewery ID:\n{listed}".rstrip(":\n"))


def _brewery() -> str:
    """The id of the brewery that is meant; begun, with the library that ships, when there is none yet."""
    chosen = _chosen()
    return chosen[0] if chosen else _begin(NAMELESS)


def _begin(name: str) -> str:
    brewery = founding.create_brewery(name)
    _publish(brewery)
    return brewery


def _publish(brewery: str) -> list[str]:
    try:
        shipped = library.load()
        return store.publish_library(brewery, shipped.procedures, shipped.cautions)
    except (library.LibraryError, siting.ReferenceDataError) as error:
        raise Found(str(error)) from error


@main.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--workers", default=2, show_default=True, type=click.IntRange(1, 64), help="Processes.")
@with_database
def serve(host: str, workers: int) -> None:
    """Serve on VESSELSIDE_PORT (8000)."""
    settings = Settings.from_environment()
    for brewery, _ in founding.breweries():
        projections.catch_up(brewery, AT_START)
    click.echo(f"Serving on http://localhost:{settings.port}", err=True)
    store.release()
    Server(settings, host, workers).run()


@main.command()
def migrate() -> None:
    """Bring the database up to date, publish what the library has new, and fold again the runs this touches."""
    app = _app()
    try:
        with app.app_context():
            schema.upgrade()
            for brewery, name in founding.breweries():
                for left in _publish(brewery):
                    click.echo(f"{name} has a {left.partition(' ')[0]} of its own: {left} is left out")
                # here and not in the first request, which would have no time for all the runs of a brewery
                projections.catch_up_all(brewery)
                for fault in faulty.every(brewery):
                    click.echo(f"{name}: {fault}")
    except schema.SchemaError as error:
        raise EnvironmentFault(str(error)) from error
    except DBAPIError as error:
        raise EnvironmentFault(f"The database cannot be used: {str(error.orig).strip()}") from error


@main.command("demo")
@click.option("--json", "as_json", is_flag=True, help="Print brewery and people as JSON.")
@with_database
def load_demo(as_json: bool) -> None:
    """Load the demo brewery: an invented place with a history. Loading it again changes nothing."""
    held = founding.breweries()
    if [name for _, name in held] not in ([], [demo.name()]):
        raise Found("This database has a brewery of its own; load the demo into an empty one.")
    told = demo.told(held[0][0]) if held else demo.load(store, store.now_ms())
    if as_json:
        click.echo(json.dumps(told, ensure_ascii=False))
        return
    click.echo(told["name"])
    for person in told["people"]:
        secrets = ", ".join(f"{kind} {person[kind]}" for kind in ("pin", "password") if kind in person)
        click.echo(f"  {person['id']:<10} {person['name']:<20} {person['role']:<8} {secrets}")


@main.command("brewery")
@click.argument("name")
@click.option("--another", is_flag=True, help="Begin one more beside those there are, and print its id.")
@of_brewery
@with_database
def name_brewery(name: str, another: bool) -> None:
    """Begin the brewery, to be called NAME, with the library that ships; or give the one there is that name."""
    try:
        called = people.checked_name(name)
    except PersonError as error:
        raise click.UsageError(str(error)) from error
    if another:
        click.echo(_begin(called))
    elif founding.breweries():
        founding.rename_brewery(_brewery(), called)
    else:
        _begin(called)


@main.command()
@click.argument("name")
@of_brewery
@with_database
def enrol(name: str) -> None:
    """Print a one-time code for a device to be called NAME; it is good for ten minutes."""
    try:
        click.echo(store.make_code(_brewery(), name))
    except PersonError as error:
        raise click.UsageError(str(error)) from error


@main.group()
def person() -> None:
    """People."""


PIN_STDIN = click.option("--pin-stdin", is_flag=True, help="Read the PIN from a line of standard input.")
PASSWORD_STDIN = click.option(
    "--password-stdin", is_flag=True, help="Read a password from a (further) line of standard input."
)


def _secrets(pin_stdin: bool, password_stdin: bool) -> tuple[str | None, str | None]:
    """The PIN and the password that are given on standard input, a line each."""
    if not pin_stdin and not password_stdin:
        raise click.UsageError("Give --pin-stdin, --password-stdin or both.")
    pin = sys.stdin.readline().strip() if pin_stdin else None
    return pin, sys.stdin.readline().strip("\r\n") if password_stdin else None


@person.command("add")
@click.argument("name")
@click.option("--role", required=True, type=click.Choice(ROLES))
@PIN_STDIN
@PASSWORD_STDIN
@of_brewery
@with_database
def add_person(name: str, role: str, pin_stdin: bool, password_stdin: bool) -> None:
    """Add a person and print the id."""
    pin, password = _secrets(pin_stdin, password_stdin)
    with _told():
        click.echo(store.add_person(_brewery(), name, role, pin=pin, password=password))


@person.command("list")
@of_brewery
@with_database
def list_people() -> None:
    """Print everyone with the id that the other commands take, those who have left included."""
    for row in people.everyone(_brewery()):
        click.echo(f"{row['id']}  {row['role']:<8} {row['status']:<7} {row['name'] or ''}".rstrip())


@person.command("rename")
@click.argument("person")
@click.argument("name")
@of_brewery
@with_database
def rename_person(person: str, name: str) -> None:
    """Give PERSON another NAME."""
    with _told():
        people.change_person(store.book(_brewery()), person, name=name)


@person.command("role")
@click.argument("person")
@click.argument("role", type=click.Choice(ROLES))
@of_brewery
@with_database
def change_role(person: str, role: str) -> None:
    """Give PERSON another ROLE."""
    with _told():
        people.change_person(store.book(_brewery()), person, role=role)


@person.command("secret")
@click.argument("person")
@PIN_STDIN
@PASSWORD_STDIN
@of_brewery
@with_database
def set_secret(person: str, pin_stdin: bool, password_stdin: bool) -> None:
    """Give PERSON another PIN or password; whoever is signed in as them is signed out."""
    pin, password = _secrets(pin_stdin, password_stdin)
    with _told():
        people.change_person(store.book(_brewery()), person, pin=pin, password=password)


@person.command("retire")
@click.argument("person")
@of_brewery
@with_database
def retire_person(person: str) -> None:
    """Note that PERSON has left: they sign in nowhere any more, and what they recorded stays."""
    with _told():
        people.change_person(store.book(_brewery()), person, status="gone")


@person.command("erase")
@click.argument("person")
@of_brewery
@with_database
def erase_person(person: str) -> None:
    """Forget the name of PERSON, who has left; the records keep the id."""
    with _told():
        if not people.erase_name(store.book(_brewery()), person):
            raise click.UsageError(f"There is no person {person}.")


@contextmanager
def _told() -> Iterator[None]:
    """What cannot be done to a person is told as wrong usage."""
    try:
        yield
    except (PersonError, people.ActiveError) as error:
        raise click.UsageError(str(error)) from error


@main.command("rebuild")
@click.option("--apply", is_flag=True, help="Replace what differs, and keep what it replaces.")
@of_brewery
@with_database
def rebuild_all(apply: bool) -> None:
    """Fold the whole log again and list every difference from what is kept; nothing is replaced unless told to."""
    chosen = _chosen()
    if chosen is None:
        return
    brewery, name = chosen
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
        made = proving.made(store.book(_brewery()), run, kept, store.now_ms(), _papers(papers))
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
        proving.judge(intake.parse(file.read_bytes()), kept, _papers(papers))
    except intake.NotJsonError as error:
        raise click.UsageError(f"{file} is no JSON: {error}") from error
    except proving.BrokenError as error:
        click.echo(str(error))
        sys.exit(1)
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
    kept, chosen = store.kept(), _chosen()
    _told_in_words()
    found = checking.faults(kept.keys, kept.photos, [chosen] if chosen else [], heads, papers)
    for brewery, name in [chosen] if chosen else []:
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


@main.command()
@click.argument("file", type=NEW_FILE)
@click.option(
    "--with-keys", is_flag=True, help="Put the server's keys in too: whoever has the file can sign as it."
)
@with_database
def backup(file: Path, with_keys: bool) -> None:
    """Copy the database and the photos into FILE, while the server serves."""
    try:
        copies.make(Settings.from_environment(), file, with_keys=with_keys)
    except FileExistsError as error:
        raise click.UsageError(f"{file} is there already; a copy is never written over.") from error
    except OSError as error:
        raise EnvironmentFault(f"{file} cannot be written: {error.strerror}") from error


@main.command()
@click.argument("file", type=FILE)
@click.option("--replace", is_flag=True, help="Put it in the place of what the database holds now.")
def restore(file: Path, replace: bool) -> None:
    """Put a copy that `backup` wrote back, with the server stopped; what phones hold beyond it comes back by itself."""
    try:
        done = copies.put_back(Settings.from_environment(), file, replace=replace)
    except SettingsError as error:
        raise EnvironmentFault(str(error)) from error
    except archive.CopyError as error:
        raise Found(f"{file}: {error}") from error
    except copies.HeldError as error:
        raise click.UsageError(str(error)) from error
    except (restoring.OtherKeyError, schema.SchemaError) as error:
        raise EnvironmentFault(str(error)) from error
    except DBAPIError as error:
        raise EnvironmentFault(f"The database cannot be used: {str(error.orig).strip()}") from error
    for log in done:
        click.echo(f"{log.name}: {log.size} records are back; what came after them comes from the phones")
