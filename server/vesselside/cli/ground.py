"""What every command stands on: the group, its two ways of failing, the database, and which brewery is meant."""

import os
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any

import click
from flask import Flask
from sqlalchemy.exc import DBAPIError

from vesselside import __version__, library, store
from vesselside.app import create_app
from vesselside.settings import Settings, SettingsError
from vesselside.store.base import schema
from vesselside.store.site import founding, siting

NAMELESS = "The brewery"
"""What a brewery is called until somebody names it."""
CHOSEN = "vesselside.brewery"
FILE = click.Path(exists=True, dir_okay=False, path_type=Path)
NEW_FILE = click.Path(dir_okay=False, path_type=Path)


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


def app() -> Flask:
    try:
        return create_app(Settings.from_environment())
    except SettingsError as error:
        raise EnvironmentFault(str(error)) from error


def with_database(command: Callable[..., None]) -> Callable[..., None]:
    """Run `command` inside an app whose database has the schema it needs."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        served = app()
        try:
            with served.app_context():
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
"""Lets a command be told which brewery is meant; `chosen` and `meant` know it."""


def chosen() -> tuple[str, str] | None:
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


def meant() -> str:
    """The id of the brewery that is meant; begun, with the library that ships, when there is none yet."""
    held = chosen()
    return held[0] if held else begin(NAMELESS)


def begin(name: str) -> str:
    brewery = founding.create_brewery(name)
    publish(brewery)
    return brewery


def publish(brewery: str) -> list[str]:
    try:
        shipped = library.load()
        return store.publish_library(brewery, shipped.procedures, shipped.cautions)
    except (library.LibraryError, siting.ReferenceDataError) as error:
        raise Found(str(error)) from error
