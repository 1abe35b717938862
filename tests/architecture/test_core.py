"""The core stays pure, in the dialect both runtimes speak, and says what it promises."""

import ast
import inspect

import pytest

from tests.architecture.files import PACKAGE, below, imports, named, tree, type_imports
from vesselside.core.sums import calculations

CORE = below(PACKAGE / "core", ".py")
IMPORTABLE = {"math", "json", "collections", "vesselside.core"}
LACKING = {"fsum", "hypot", "prod", "removeprefix", "removesuffix", "sort_keys", "fromkeys", "__doc__"}


@pytest.fixture(params=CORE, ids=named)
def path(request):
    return request.param


def roots(name: str) -> set[str]:
    """A dotted name and all it lies in."""
    parts = name.split(".")
    return {".".join(parts[:length]) for length in range(1, len(parts) + 1)}


def test_core_is_here():
    assert len(CORE) > 10


def test_imports_only_what_both_runtimes_have(path):
    """What is named for the types alone is read by mypy, and may come from `typing` too."""
    lacking = [name for name in sorted(imports(path)) if not roots(name) & IMPORTABLE]
    assert [name for name in lacking if name not in type_imports(path) or not roots(name) & {"typing"}] == []


def test_every_file_with_rows_of_sums_is_registered():
    """A subject that nobody registered has sums that do not exist, and nothing else would say so."""
    files = [path for path in below(PACKAGE / "core" / "sums", ".py") if "\nROWS" in path.read_text()]
    registered = {subject.__name__.rpartition(".")[2] for subject in calculations.SUBJECTS}
    assert sorted(path.stem for path in files if path.stem not in registered) == []
    assert len(files) == len(calculations.SUBJECTS)


def test_the_shapes_are_named_for_the_types_alone(path):
    stub = {name for name in imports(path) if "vesselside.core.shapes" in roots(name)}
    assert sorted(stub - type_imports(path)) == []


def test_names_nothing_that_micropython_lacks(path):
    used = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Attribute):
            used.add(node.attr)
        elif isinstance(node, ast.Name):
            used.add(node.id)
        elif isinstance(node, ast.keyword):
            used.add(str(node.arg))
    assert sorted(used & LACKING) == []


def test_only_numbers_rounds_and_formats(path):
    """`round` and format specifications round halves otherwise on MicroPython, so one module does it for all."""
    if path.name == "numbers.py":
        return
    found = []
    for node in ast.walk(tree(path)):
        rounds = (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and node.func.id in {"round", "format"}
        )
        formats = isinstance(node, ast.FormattedValue) and node.format_spec is not None
        percent = (
            isinstance(node, ast.BinOp)
            and isinstance(node.op, ast.Mod)
            and isinstance(node.left, ast.Constant)
        )
        percent = percent and isinstance(node.left.value, str)
        if rounds or formats or percent:
            found.append(node.lineno)
    assert found == []


def errors() -> set[str]:
    """`CoreError` and the core's own kinds of it."""
    classes = [node for path in CORE for node in tree(path).body if isinstance(node, ast.ClassDef)]
    return {"CoreError"} | {
        node.name for node in classes if "CoreError" in {ast.unparse(base) for base in node.bases}
    }


def test_raises_only_its_own_error(path):
    """`CoreError` is the one error a caller has to know."""
    raised = [
        node.exc for node in ast.walk(tree(path)) if isinstance(node, ast.Raise) and node.exc is not None
    ]
    names = {ast.unparse(error.func if isinstance(error, ast.Call) else error) for error in raised}
    assert sorted(names - errors()) == []


def test_public_names_have_docstrings(path):
    lacking = [] if ast.get_docstring(tree(path)) else ["the module"]
    for node in tree(path).body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            inner = node.body if isinstance(node, ast.ClassDef) else []
            parts = [node, *(part for part in inner if isinstance(part, ast.FunctionDef))]
            lacking += [p.name for p in parts if not p.name.startswith("_") and not ast.get_docstring(p)]
    assert lacking == []


def test_calculations_take_named_inputs_only():
    """A calculation's function names each input of its row, and takes none by place."""
    rows = [calculations.find(row["name"]) for row in calculations.listing()]
    assert rows
    for row in rows:
        spec = inspect.getfullargspec(row["function"])
        assert not spec.args, row["name"]
        assert sorted(spec.kwonlyargs) == sorted(field["id"] for field in row["inputs"]), row["name"]
