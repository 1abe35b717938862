"""The first brewery of a server, begun in a browser by whoever started the server.

The start prints a code. It is made of the server's own secret, so each of its processes knows it and nothing of it is
kept; it is good until there is a brewery.
"""

import hmac
from dataclasses import dataclass

from vesselside.store.log import writer
from vesselside.store.log.book import Keys
from vesselside.store.site import devices, founding, people
from vesselside.store.site.devices import ALPHABET, CODE_LETTERS, CodeError
from vesselside.store.site.secrets import PersonError, hashed_password, hashed_pin


@dataclass(frozen=True)
class Begun:
    """A brewery just begun: its id, its manager's, and a one-time code that enrols the browser it was begun in."""

    brewery: str
    person: str
    code: str


def code_of(keys: Keys) -> str:
    """The code that begins this server's first brewery."""
    number = int(keys.hashed("begin the first brewery"), 16)
    return "".join(ALPHABET[number >> 5 * at & 31] for at in range(CODE_LETTERS))


def begin(
    keys: Keys, code: str, name: str, manager: str, *, pin: str, password: str, device: str, address: str, now: int
) -> Begun:  # fmt: skip
    """Begin the brewery `name` with its first manager, and make a code for a device to be called `device`.

    CodeError, also where there is a brewery; LaterError; PersonError for a name or a secret that cannot be taken.
    """
    if founding.breweries():
        raise CodeError  # and it counts as no try: there is nothing to guess
    devices.check_tries(address, now)
    if not hmac.compare_digest(devices.read_code(code).encode(), code_of(keys).encode()):
        devices.note_try(address, now)
        raise CodeError
    called, _, _ = people.checked_name(name), people.checked_name(manager), people.checked_name(device)
    if not pin or not password:
        raise PersonError("A manager needs a PIN and a password.")
    # judged before anything is begun: what is refused leaves the server as it was
    hashed_pin(pin)
    hashed_password(password, manager)
    brewery = founding.create_first(called, now=now)
    if brewery is None:
        raise CodeError
    book = keys.book(brewery)
    by = writer.ITSELF
    person = people.add_person(book, manager, "manager", pin=pin, password=password, by=by, now=now)
    return Begun(brewery, person, devices.make_code(book, device, by=by, now=now))
