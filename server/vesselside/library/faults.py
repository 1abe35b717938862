"""What is wrong with a library file, said so that it can be found: file, line, field, and a guess."""

import difflib
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

Path = tuple[str | int, ...]


class Fault(NamedTuple):
    """One fault; as text `procedures/x.yaml:12: steps[3].titel: unknown field (did you mean title?)`."""

    file: str
    line: int
    field: str
    text: str
    path: Path = ()

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.line else self.file
        return f"{where}: {self.field}: {self.text}" if self.field else f"{where}: {self.text}"

    def told(self) -> dict[str, str | int]:
        """As it is answered to a form: `{field: "steps.3.title", text}`, and the line of a file."""
        return {"field": dotted(self.path), "text": self.text} | ({"line": self.line} if self.line else {})


class LibraryError(Exception):
    """The library cannot be used; `faults` says all that is wrong with it, not only the first."""

    def __init__(self, faults: list[Fault]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = faults


def spelled(path: Path) -> str:
    """A path as people write it: `steps[3].title`."""
    text = ""
    for part in path:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else part
    return text


def dotted(path: Path) -> str:
    """A path as forms address their fields: `steps.3.title`."""
    return ".".join(str(part) for part in path)


def suggestion(name: str, known: Iterable[str]) -> str:
    """` (did you mean title?)` when a known name is near, else nothing."""
    near = difflib.get_close_matches(name, list(known), n=1, cutoff=0.6)
    return f" (did you mean {near[0]}?)" if near else ""


def flattened(messages: Any, path: Path = ()) -> Iterator[tuple[Path, str]]:
    """marshmallow's nested messages as (path, text); `_schema` belongs to the thing itself."""
    if isinstance(messages, Mapping):
        for key, value in messages.items():
            yield from flattened(value, path if key == "_schema" else (*path, key))
    elif isinstance(messages, list):
        for value in messages:
            yield from flattened(value, path)
    else:
        yield path, str(messages)
