"""Commands that copy all that is kept, and put a copy back."""

from pathlib import Path

import click
from sqlalchemy.exc import DBAPIError

from vesselside import copies
from vesselside.cli.ground import FILE, NEW_FILE, EnvironmentFault, Found, main, with_database
from vesselside.settings import Settings, SettingsError
from vesselside.store.base import schema
from vesselside.store.copies import archive, restoring


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
