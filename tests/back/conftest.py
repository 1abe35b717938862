"""A brewery of each test's own that is put back to a copy."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.api.outside import Event, new_run
from tests.back.outside import Keeper, bare
from tests.conftest import Templates
from tests.living import Living
from vesselside import store
from vesselside.store.site import founding, people


class Restorable(Living):
    """A server with a copy to go back to."""

    def copy(self) -> None:
        """Make the copy."""
        done = self.command("backup", str(self.folder / "copy.zip"))
        assert done.returncode == 0, done.stderr

    def put_back(self) -> None:
        """Stop, put the copy back and start again, as an owner does."""
        self.stop()
        done = self.command("restore", "--replace", str(self.folder / "copy.zip"))
        assert done.returncode == 0, done.stderr
        self.start()

    def brewery(self) -> str:
        """The id of the one brewery, inside the store."""
        return founding.breweries()[0][0]

    def add_person(self, person: str, role: str = "brewer") -> None:
        """Add a person, as a manager does at the desk."""
        with self.inside():
            store.add_person(self.brewery(), person.title(), role, person=person, pin="530917")

    def phone(self, name: str = "keeper") -> Keeper:
        """A phone enrolled now, that has pulled all there is."""
        made = Keeper(self.url, self.code(name), name)
        made.sync()
        return made


@pytest.fixture
def living(templates: Templates, tmp_path: Path) -> Iterator[Restorable]:
    """A server on SQLite."""
    made = Restorable(tmp_path, templates.of("sqlite", founded=True).copy(tmp_path))
    made.start()
    yield made
    made.leave()


@pytest.fixture
def lost(living: Restorable) -> Callable[[], tuple[Keeper, list[Event]]]:
    """Has a copy made, then two people added, and the log put back: a phone, and the server's events that are gone."""

    def make() -> tuple[Keeper, list[Event]]:
        phone = living.phone()
        phone.sync([phone.make(new_run())])
        living.copy()
        before = len(phone.pulled)
        for person, role in (("newt", "brewer"), ("nell", "duty"), ("newt", "manager")):
            if person == "newt" and role == "manager":
                with living.inside():
                    people.change_person(store.book(living.brewery()), person, role=role)
            else:
                living.add_person(person, role)
        phone.sync()
        gone = [bare(event) for event in phone.pulled[before:]]
        living.put_back()
        assert phone.exchange(**phone.place).status_code == 409
        phone.pulled = phone.pulled[:before]
        phone.cursor, phone.place = "0" * 16, {}
        return phone, gone

    return make
