"""Commands about people: add, list, rename, another role or secret, retire, erase."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager

import click

from vesselside import store
from vesselside.cli.ground import main, meant, of_brewery, with_database
from vesselside.core.run.events import ROLES
from vesselside.store.site import people
from vesselside.store.site.secrets import PersonError


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
        click.echo(store.add_person(meant(), name, role, pin=pin, password=password))


@person.command("list")
@of_brewery
@with_database
def list_people() -> None:
    """Print everyone with the id that the other commands take, those who have left included."""
    for row in people.everyone(meant()):
        click.echo(f"{row['id']}  {row['role']:<8} {row['status']:<7} {row['name'] or ''}".rstrip())


@person.command("rename")
@click.argument("person")
@click.argument("name")
@of_brewery
@with_database
def rename_person(person: str, name: str) -> None:
    """Give PERSON another NAME."""
    with _told():
        people.change_person(store.book(meant()), person, name=name)


@person.command("role")
@click.argument("person")
@click.argument("role", type=click.Choice(ROLES))
@of_brewery
@with_database
def change_role(person: str, role: str) -> None:
    """Give PERSON another ROLE."""
    with _told():
        people.change_person(store.book(meant()), person, role=role)


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
        people.change_person(store.book(meant()), person, pin=pin, password=password)


@person.command("retire")
@click.argument("person")
@of_brewery
@with_database
def retire_person(person: str) -> None:
    """Note that PERSON has left: they sign in nowhere any more, and what they recorded stays."""
    with _told():
        people.change_person(store.book(meant()), person, status="gone")


@person.command("erase")
@click.argument("person")
@of_brewery
@with_database
def erase_person(person: str) -> None:
    """Forget the name of PERSON, who has left; the records keep the id."""
    with _told():
        if not people.erase_name(store.book(meant()), person):
            raise click.UsageError(f"There is no person {person}.")


@contextmanager
def _told() -> Iterator[None]:
    """What cannot be done to a person is told as wrong usage."""
    try:
        yield
    except (PersonError, people.ActiveError) as error:
        raise click.UsageError(str(error)) from error
