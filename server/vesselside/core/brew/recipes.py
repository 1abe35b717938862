"""What a recipe holds, described as data, and every fault of one at its field.

A recipe is `{id, version, name, …figures as decimal texts…, grist: [rows], hops: [rows]}`. Forms, checks and the sheet
read the descriptions here; a version, once kept, never changes.
"""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError
from vesselside.core.run.events import is_count, is_id
from vesselside.core.sums import inputs
from vesselside.core.sums.inputs import choice, number

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import HopUse

MOST_ROWS = 12
SHARES = "100"
USES: "tuple[HopUse, ...]" = ("boil", "whirlpool", "dry")
"""What hops are for, in the order of a brew."""


def _text(key: str, label: str, *, optional: bool = False, longest: int = 80) -> dict:
    row: dict = {"id": key, "label": label, "unit": "", "kind": "text", "longest": longest}
    if optional:
        row["optional"] = True
    return row


def _for(uses: tuple, row: dict) -> dict:
    row["uses"] = list(uses)
    return row


_ION = ("0", "1000", 0)

GROUPS: list = [
    {
        "id": "beer",
        "title": "The beer",
        "fields": [
            _text("name", "Name"),
            number("volume_l", "Wort in the fermenter, from one brew", "L", "1", "50000", 0),
            choice("brews", "Brews in one fermenter", [["1", "One"], ["2", "Two"]], "1"),
            number("original_sg", "Original gravity", "", "1.010", "1.120", 4),
            number("attenuation_pct", "Apparent attenuation", "%", "30", "105", 1, "78"),
            number("bitterness_ibu", "Bitterness", "IBU", "0", "150", 1),
        ],
    },
    {
        "id": "mash",
        "title": "Mash and boil",
        "fields": [
            number("mash_temp_c", "Mash", "°C", "50", "76", 1, "66"),
            number("ratio_l_kg", "Liquor to grist", "L/kg", "1.5", "6", 2, "2.7"),
            number("boil_min", "Boil", "min", "10", "240", 0, "60"),
            number("efficiency_pct", "Efficiency, when not the site's", "%", "30", "100", 1, optional=True),
        ],
    },
    {
        "id": "yeast",
        "title": "Yeast",
        "fields": [
            _text("yeast", "Yeast"),
            number("pitch_rate", "Pitch, live cells", "million/mL/°P", "0.2", "3", 2, "0.75"),
            number("pitch_c", "Pitch at", "°C", "5", "35", 1, "18"),
            number("ferment_c", "Ferment at", "°C", "5", "35", 1, "19"),
            number("ph", "Beer pH at the end", "pH", "2.8", "5.4", 2, optional=True),
        ],
    },
    {
        "id": "late",
        "title": "Hop stand, when there are whirlpool hops",
        "fields": [
            number("stand_c", "Stand at", "°C", "60", "100", 1, optional=True),
            number("stand_min", "Stand for", "min", "1", "120", 0, optional=True),
        ],
    },
    {
        "id": "liquor",
        "title": "Liquor wanted, all five or none",
        "fields": [
            number("calcium_mg_l", "Calcium", "mg/L", *_ION, optional=True),
            number("magnesium_mg_l", "Magnesium", "mg/L", *_ION, optional=True),
            number("sodium_mg_l", "Sodium", "mg/L", *_ION, optional=True),
            number("sulphate_mg_l", "Sulphate", "mg/L", *_ION, optional=True),
            number("chloride_mg_l", "Chloride", "mg/L", *_ION, optional=True),
        ],
    },
    {
        "id": "notes",
        "title": "Notes",
        "fields": [_text("notes", "Notes", optional=True, longest=1000)],
    },
]

TABLES: list = [
    {
        "id": "grist",
        "title": "Grist",
        "row": "Malt",
        "least": 1,
        "columns": [
            _text("malt", "Malt"),
            number("share_pct", "Share of the grist", "%", "0.1", "100", 1),
            number("extract_pct", "Extract, fine grind as-is", "%", "5", "105", 1, "79"),
        ],
    },
    {
        "id": "hops",
        "title": "Hops",
        "row": "Hops",
        "least": 0,
        "columns": [
            _text("hop", "Hops"),
            _text("lot", "Lot", optional=True, longest=40),
            choice(
                "use",
                "Goes into",
                [["boil", "Boil"], ["whirlpool", "Whirlpool"], ["dry", "Fermenter"]],
                "boil",
            ),
            number("alpha_pct", "Alpha acids of this lot", "%", "0.5", "25", 1),
            _for(("boil",), number("minutes", "Boiled for", "min", "5", "120", 0)),
            _for(("boil",), number("share_pct", "Share of the boil's bitterness", "%", "0.1", "100", 1)),
            _for(("whirlpool", "dry"), number("dose_g_l", "Dose", "g/L", "0.1", "20", 1)),
        ],
    },
]

IONS = ("calcium_mg_l", "magnesium_mg_l", "sodium_mg_l", "sulphate_mg_l", "chloride_mg_l")


def described() -> dict:
    """What a form asks for: `{groups, tables}`; a column with `uses` is asked only of hops of those uses."""
    return {"groups": GROUPS, "tables": TABLES}


def applies(column: dict, row: dict) -> bool:
    """Whether a table's column is asked of this row."""
    return "uses" not in column or row.get("use", "boil") in column["uses"]


def _read(field: dict, given: object) -> str | None:
    """The canonical text of one field, None for one left out; CoreError at the field."""
    if given is not None and not isinstance(given, str):
        raise CoreError("not-text", field["label"] + ": figures travel as text.", field=field["id"])
    text = (given or "").strip()
    if field.get("kind") == "text":
        if not text and not field.get("optional"):
            raise CoreError("needed", "Enter: " + field["label"], field=field["id"])
        if len(text) > field["longest"]:
            said = field["label"] + ": keep it under " + str(field["longest"]) + " characters."
            raise CoreError("too-long", said, field=field["id"])
        return text or None
    _, line = inputs.read(field, text)
    return line.get("given", line["value"]) or None


class _Reader:
    def __init__(self) -> None:
        self.faults: list = []

    def fault(self, field: str, text: str) -> None:
        self.faults.append({"field": field, "text": text})

    def fields(self, rows: list, given: dict, before: str) -> dict:
        """The fields that could be read; faults are noted."""
        found = {}
        for field in rows:
            if not applies(field, given):
                continue
            try:
                text = _read(field, given.get(field["id"]))
            except CoreError as error:
                self.fault(before + field["id"], error.text)
                continue
            if text is not None:
                found[field["id"]] = text
        return found

    def table(self, table: dict, given: object) -> list:
        """The rows of a table."""
        key = table["id"]
        if not isinstance(given, list):
            given = []
        if len(given) < table["least"]:
            self.fault(key, table["title"] + ": at least one row is needed.")
        if len(given) > MOST_ROWS:
            self.fault(key, table["title"] + ": at most " + str(MOST_ROWS) + " rows.")
        found = []
        for at in range(min(len(given), MOST_ROWS)):
            row = given[at] if isinstance(given[at], dict) else {}
            found.append(self.fields(table["columns"], row, key + "." + str(at) + "."))
        return found


def _short_of_all(rows: list) -> str | None:
    """What the shares of rows make, when each has one and they do not make a hundred."""
    total = "0"
    for row in rows:
        if "share_pct" not in row:
            return None
        total = numbers.plus(total, row["share_pct"])
    return None if numbers.compare(total, SHARES) == 0 else total


def _together(reader: _Reader, recipe: dict) -> None:
    """What no field alone can say."""
    made = _short_of_all(recipe["grist"]) if recipe["grist"] else None
    if made is not None:
        reader.fault("grist.0.share_pct", "The shares of the grist make " + made + " %, not 100 %.")
    boiled = []
    for at in range(len(recipe["hops"])):
        row = recipe["hops"][at]
        if row.get("use") == "boil":
            boiled.append(at)
            minutes = row.get("minutes")
            if minutes and "boil_min" in recipe and numbers.compare(minutes, recipe["boil_min"]) > 0:
                reader.fault("hops." + str(at) + ".minutes", "These hops are boiled longer than the wort is.")
    made = _short_of_all([recipe["hops"][at] for at in boiled]) if boiled else None
    if made is not None:
        said = "The shares of the boil's bitterness make " + made + " %, not 100 %."
        reader.fault("hops." + str(boiled[0]) + ".share_pct", said)
    if [row for row in recipe["hops"] if row.get("use") == "whirlpool"]:
        for key, label in (("stand_c", "Stand at"), ("stand_min", "Stand for")):
            if key not in recipe:
                reader.fault(key, "Whirlpool hops need it. Enter: " + label)
    held = [key for key in IONS if key in recipe]
    if held and len(held) < len(IONS):
        for key in IONS:
            if key not in held:
                reader.fault(key, "Give all five ions, or none.")


def read(given: object) -> tuple[dict, list]:
    """A recipe in its canonical shape, and its faults `[{field, text}]`, fields as `name` or `hops.0.alpha_pct`.

    Never raises; with faults the recipe holds what could be read. What is not a field of a recipe is left out.
    """
    reader = _Reader()
    if not isinstance(given, dict):
        return {"grist": [], "hops": []}, [{"field": "", "text": "A recipe is an object."}]
    recipe: dict = {}
    if is_id(given.get("id")):
        recipe["id"] = given["id"]
    else:
        reader.fault("id", "The short name is 1 to 64 of a-z, 0-9 and dashes.")
    version = given.get("version")
    if is_count(version) and version != 0:
        recipe["version"] = version
    else:
        reader.fault("version", "The version is a whole number from 1.")
    for group in GROUPS:
        recipe.update(reader.fields(group["fields"], given, ""))
    for table in TABLES:
        recipe[table["id"]] = reader.table(table, given.get(table["id"]))
    _together(reader, recipe)
    return recipe, reader.faults


def whole(recipe: object) -> bool:
    """Whether this is a recipe a sheet can be worked from, not one of the flat cards of an older version."""
    return (
        isinstance(recipe, dict) and isinstance(recipe.get("grist"), list) and is_count(recipe.get("version"))
    )
