"""A library file as plain data, with the line every field stands on.

Everything is text save `true`, `false` and `null`: a limit written 2.50 stays 2.50, and a lot written
00123 keeps its zeros. A key given twice is a fault, not the last one winning.
"""

from pathlib import Path as File
from typing import Any

import yaml

from .faults import Fault, Path, spelled

# libyaml's parser, where PyYAML was built with it, reads the library ten times as fast.
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_DEEPEST = 24
_WORDS: dict[str, bool | None] = {"true": True, "false": False, "null": None, "~": None, "": None}


class Source:
    """One file read: `data` (None when unreadable), `faults`, and `line(path)`."""

    def __init__(self, name: str, text: str) -> None:
        self.name = name
        self.faults: list[Fault] = []
        self._lines: dict[Path, int] = {}
        self.data: Any = None
        try:
            node = yaml.compose(text, Loader=_LOADER)
        except yaml.MarkedYAMLError as error:
            mark = error.problem_mark or error.context_mark
            self._fault((), mark.line + 1 if mark else 0, f"not YAML: {error.problem or error.context}")
            return
        except yaml.YAMLError as error:
            self._fault((), 0, f"not YAML: {error}")
            return
        if node is None:
            self._fault((), 1, "the file is empty")
            return
        self.data = self._plain(node, ())

    def line(self, path: Path) -> int:
        """The line of that field, or of the nearest thing around it that is written down."""
        while path and path not in self._lines:
            path = path[:-1]
        return self._lines.get(path, 1)

    def fault(self, path: Path, text: str) -> None:
        """Note a fault of the field at `path`."""
        self._fault(path, self.line(path), text)

    def _fault(self, path: Path, line: int, text: str) -> None:
        self.faults.append(Fault(self.name, line, spelled(path), text, path))

    def _plain(self, node: yaml.Node, path: Path) -> Any:
        self._lines.setdefault(path, node.start_mark.line + 1)
        if isinstance(node, yaml.MappingNode):
            return self._mapping(node, path)
        if isinstance(node, yaml.SequenceNode):
            return [self._plain(item, (*path, at)) for at, item in enumerate(node.value)]
        if isinstance(node, yaml.ScalarNode) and not node.style and node.value in _WORDS:
            return _WORDS[node.value]
        return node.value

    def _mapping(self, node: yaml.MappingNode, path: Path) -> dict[str, Any]:
        data: dict[str, Any] = {}
        for key, value in node.value:
            if not isinstance(key, yaml.ScalarNode):
                self._fault(
                    path, key.start_mark.line + 1, "a field's name is one word, not a list or a group"
                )
                continue
            inner = (*path, str(key.value))
            if key.value in data:
                self._fault(inner, key.start_mark.line + 1, "given twice")
            self._lines[inner] = key.start_mark.line + 1
            data[str(key.value)] = self._plain(value, inner)
        return data


def read(file: File, folder: File) -> Source:
    """Read one file; its faults name it by its path inside `folder`."""
    name = file.relative_to(folder).as_posix()
    try:
        return Source(name, file.read_text(encoding="utf-8"))
    except UnicodeDecodeError:
        return _refused(name, 0, "no text in UTF-8")


def given(text: str) -> Source:
    """Read text from outside: what points back into itself or nests without end is a fault, and is not unfolded."""
    depth = 0
    if any("\ud800" <= letter <= "\udfff" for letter in text):
        return _refused("procedure", 0, "holds a character that cannot be kept")
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
            if isinstance(event, yaml.AliasEvent) or depth > _DEEPEST:
                line = event.start_mark.line + 1 if event.start_mark else 0
                return _refused(
                    "procedure", line, "not taken: write it out, without references and deep nesting"
                )
    except yaml.YAMLError:
        pass  # said with its line by the reading below
    return Source("procedure", text)


def _refused(name: str, line: int, text: str) -> Source:
    refused = Source(name, "null")
    refused.faults.append(Fault(name, line, "", text))
    return refused
