"""The project's own files, as the checks of its structure read them."""

import ast
import subprocess
from collections.abc import Iterable
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "server" / "vesselside"
SRC = ROOT / "pwa" / "src"


@cache
def tracked() -> list[Path]:
    """Every file of the project: what git holds, and what it would hold if added now."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout.split("\0")
    return sorted(path for path in (ROOT / name for name in listed if name) if path.is_file())


def below(folder: Path, *suffixes: str) -> list[Path]:
    """The tracked files below a folder with one of the suffixes."""
    return [path for path in tracked() if path.is_relative_to(folder) and path.suffix in suffixes]


def named(path: Path) -> str:
    """A file as a test names it."""
    return path.relative_to(ROOT).as_posix()


@cache
def tree(path: Path) -> ast.Module:
    """A Python file's syntax tree."""
    return ast.parse(path.read_text(), filename=str(path))


def module(path: Path) -> str:
    """A Python file's dotted name within `server`."""
    parts = path.relative_to(ROOT / "server").with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(path: Path) -> set[str]:
    """The dotted names a Python file imports, relative ones made absolute; `from x import y` counts as `x.y`."""
    return _imported(path, ast.walk(tree(path)))


def run_imports(path: Path) -> set[str]:
    """The dotted names that importing a Python file takes at once, as `imports` gives them.

    What stands under `if TYPE_CHECKING` is named for the types alone.
    """
    return _imported(path, (node for node in tree(path).body if not isinstance(node, ast.If)))


def type_imports(path: Path) -> set[str]:
    """The dotted names a Python file imports under `if TYPE_CHECKING`."""
    blocks = [node for node in tree(path).body if isinstance(node, ast.If) and _for_types(node)]
    return _imported(path, (node for block in blocks for node in ast.walk(block)))


def _for_types(block: ast.If) -> bool:
    return isinstance(block.test, ast.Name) and block.test.id == "TYPE_CHECKING"


def _imported(path: Path, nodes: Iterable[ast.AST]) -> set[str]:
    package = module(path).split(".")
    if path.name != "__init__.py":
        package = package[:-1]
    found = set()
    for node in nodes:
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            start = ".".join([*base, *([node.module] if node.module else [])])
            found |= {f"{start}.{alias.name}" for alias in node.names}
    return found
