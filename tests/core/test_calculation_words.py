"""What a calculation promises in words: formula, range, source and example in its docstring, units in its names."""

import inspect
import re

import pytest

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import calculations, sources

ROWS = [pytest.param(calculations.find(row["name"]), id=row["name"]) for row in calculations.listing()]

UNITS = {
    "", "%", "% ABV", "% vol", "% w/v", "% w/w", "%/h", "×10¹²", "EBC", "IBU", "L", "L/h", "L/hL", "L/kg",
    "L/min", "L°", "L°/kg", "MJ", "bar", "N", "bbl", "cans/h", "cm²", "d", "g", "g/L", "g/hL", "h", "hL", "kJ",
    "kJ/K", "kJ/kg", "kN/m²", "kW", "kWh", "kWh/hL", "kg", "kg/L", "kg/h", "m", "m/s", "mL", "mPa·s",
    "mbar", "meq", "meq/(kg pH)", "meq/pH", "mg/L", "million/mL", "million/mL/°P", "min", "mm", "mmol",
    "mmol/L", "mol", "mol/L", "m³", "m³/h", "nL", "pH", "ppm", "s", "times", "vol", "°", "°/day",
    "°C", "°P", "µS/cm", "µg", "µg/L",
}  # fmt: skip
"""Every unit shown; a new one is added here once it is known not to be another spelling of one of these."""


@pytest.mark.parametrize("row", ROWS)
def test_docstring_gives_formula_range_source_and_example(row):
    words = inspect.getdoc(row["function"])
    for promised in ("Formula", "Range", "Source", "Example:"):
        assert promised in words, promised
    for key in row["sources"]:
        assert sources.SOURCES[key]["title"]


@pytest.mark.parametrize("row", ROWS)
def test_docstring_names_each_error_code_its_function_raises_and_only_known_sources(row):
    words = " ".join(inspect.getdoc(row["function"]).split())
    codes = set(re.findall(r'CoreError\(\s*"([a-z-]+)"', inspect.getsource(row["function"])))
    assert sorted(code for code in codes if f"`{code}`" not in words) == []
    told = re.search(r"Sources?:? ([^.]*)\.", words).group(1)
    named = re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)+|balling|eh40|kolbach|laliberte|counting|student", told)
    assert sorted(set(named) - sources.SOURCES.keys()) == []


@pytest.mark.parametrize("row", ROWS)
def test_units_are_spelt_one_way(row):
    fields = [field for field in row["inputs"] if "columns" not in field]
    fields += [column for field in row["inputs"] for column in field.get("columns", [])]
    units = {field["unit"] for field in fields} | {line[2] for line in row["steps"] + row["results"]}
    assert sorted(units - UNITS) == []


@pytest.mark.parametrize("row", ROWS)
def test_defaults_lie_within_their_ranges(row):
    for field in row["inputs"]:
        if "default" in field and "min" in field:
            assert float(field["min"]) <= float(field["default"]) <= float(field["max"]), field["id"]


def test_no_source_is_kept_that_nothing_cites():
    cited = {key for row in calculations.listing() for key in row["sources"]}
    told = "".join(inspect.getsource(subject) for subject in calculations.SUBJECTS)
    told += inspect.getsource(__import__("vesselside.core.sums.water", fromlist=["water"]))
    assert sorted(key for key in sources.SOURCES if key not in cited and key not in told) == []


def test_a_count_is_whole():
    with pytest.raises(CoreError, match="whole number") as refused:
        calculations.work("lot-mark", {"packed": "2026-11-25", "run": "1.5"})
    assert (refused.value.code, refused.value.field) == ("not-whole", "run")


@pytest.mark.parametrize(
    ("packed", "life", "best", "month"),
    [
        ("2026-08-31", "6", "2027-02-28", "2027-02-28"),
        ("2026-11-25", "9", "2027-08-25", "2027-07-31"),
        ("2026-11-30", "3", "2027-02-28", "2027-02-28"),
        ("2028-01-31", "1", "2028-02-29", "2028-02-29"),
    ],
)
def test_the_month_printed_never_outlives_the_shelf_life(packed, life, best, month):
    working = calculations.work("best-before", {"packed": packed, "oldest": packed, "life": life})
    assert [line["value"] for line in working["results"]] == [best, month]
