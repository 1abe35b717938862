"""The lines of a brew sheet as data: each names its sum and where that takes its figures from.

A figure comes from the recipe, the site (`sitefigures`), another line, or is a text; `rows` holds such figures as a
table. Nothing here does a sum.
"""

from vesselside.core.ground import numbers

STAGES = [
    ["liquor", "Liquor"],
    ["mash", "Mash"],
    ["run-off", "Run-off"],
    ["copper", "Copper"],
    ["whirlpool", "Whirlpool"],
    ["fermenter", "Fermenter"],
    ["beer", "Beer"],
]
"""The stages of a brew, in order."""


def _recipe(key: str) -> dict:
    return {"recipe": key}


def _site(key: str) -> dict:
    return {"site": key}


def _line(key: str) -> dict:
    return {"line": key}


def _given(key: str, stage: str, label: str, unit: str, field: str) -> dict:
    return _plain(key, stage, label, unit, _recipe(field))


def _plain(key: str, stage: str, label: str, unit: str, value: object) -> dict:
    """A line no sum is needed for: a text, or where it stands already."""
    return {"id": key, "stage": stage, "label": label, "unit": unit, "value": value, "per": "brew"}


def _quiet(key: str, stage: str, label: str, unit: str, value: object) -> dict:
    """A line for procedures to take and readings to stand beside; a sheet to be read says it elsewhere."""
    line = _plain(key, stage, label, unit, value)
    line["quiet"] = True
    return line


def _same(key: str, stage: str, label: str, unit: str, line: str) -> dict:
    """A line that repeats another where it is read a second time."""
    return _plain(key, stage, label, unit, _line(line))


def _worked(key: str, stage: str, label: str, sum_: list, inputs: dict, per: str = "brew") -> dict:
    """A line by a sum: `[calculation, result, unit]`."""
    return {
        "id": key,
        "stage": stage,
        "label": label,
        "unit": sum_[2],
        "calculation": sum_[0],
        "result": sum_[1],
        "inputs": inputs,
        "per": per,
    }


_COPPER = {
    "collected_l": _recipe("volume_l"),
    "left_l": _site("whirlpool-left"),
    "boil_min": _recipe("boil_min"),
    "rate_l_h": _site("boil-off-rate"),
    "sg": _recipe("original_sg"),
}
_RUN_OFF = {
    "malt_kg": _line("malt"),
    "mash_liquor_l": _line("mash-liquor"),
    "copper_l": _line("copper-hot"),
    "absorbed_l_kg": _site("grain-kept"),
    "left_l": _site("tun-left"),
}
_ATTENUATION = {"original_sg": _line("original-gravity"), "present_sg": _line("final-gravity")}


def _grist(recipe: dict) -> list:
    rows = [[row.get("share_pct", ""), row.get("extract_pct", "")] for row in recipe["grist"]]
    efficiency = {"recipe": "efficiency_pct", "site": "brewhouse-efficiency"}
    found = [
        _worked(
            "malt", "mash", "Malt", ["grist-for-gravity", "malt_kg", "kg"],
            {
                "grist": {"rows": rows},
                "efficiency_pct": efficiency,
                "volume_l": _line("copper-end"),
                "sg": _recipe("original_sg"),
            },
        )
    ]  # fmt: skip
    for at in range(len(recipe["grist"])):
        row = recipe["grist"][at]
        sum_ = ["grist-share", "kg", "kg"]
        given = {"malt_kg": _line("malt"), "share_pct": row.get("share_pct", "")}
        found.append(_worked("grist-" + str(at + 1), "mash", row.get("malt", "Malt"), sum_, given))
    return found


def _mash(recipe: dict) -> list:
    strike = {
        "malt_kg": _line("malt"),
        "liquor_l": _line("mash-liquor"),
        "mash_temp_c": _recipe("mash_temp_c"),
        "malt_temp_c": _site("malt-temperature"),
        "tun_temp_c": _site("mash-tun-temperature"),
        "tun_heat_l": _site("mash-tun-heat"),
        "moisture_pct": _site("malt-moisture"),
        "slaking_kj_kg": _site("malt-slaking"),
    }
    liquor = {"malt_kg": _line("malt"), "ratio_l_kg": _recipe("ratio_l_kg")}
    hot = {"cooled_l": _line("copper-start"), "temp_c": _site("run-off-temperature")}
    return [
        _worked("mash-liquor", "mash", "Mash liquor", ["mash-liquor", "liquor_l", "L"], liquor),
        _worked("strike", "mash", "Strike temperature", ["strike-temperature", "strike_c", "°C"], strike),
        _given("mash-temperature", "mash", "Mash temperature", "°C", "mash_temp_c"),
        _worked("first-runnings", "run-off", "First runnings", ["run-off-sparge", "first_l", "L"], _RUN_OFF),
        _worked("sparge", "run-off", "Sparge liquor", ["run-off-sparge", "sparge_l", "L"], _RUN_OFF),
        _worked("copper-hot", "run-off", "Copper full, hot", ["hot-volume", "hot_l", "L"], hot),
        _same("run-off-volume", "run-off", "Run off, at 20 °C", "L", "copper-start"),
        _same("run-off-gravity", "run-off", "Gravity run off", "", "copper-start-gravity"),
    ]


def _liquor(recipe: dict) -> list:
    found = [_worked("liquor", "liquor", "Liquor in all", ["run-off-sparge", "total_l", "L"], _RUN_OFF)]
    if "calcium_mg_l" not in recipe:
        return found
    given: dict = {"volume_l": _line("liquor")}
    for ion in ("calcium", "magnesium", "sodium", "sulphate", "chloride"):
        given[ion + "_mg_l"] = _site("raw-" + ion)
        given["target_" + ion + "_mg_l"] = _recipe(ion + "_mg_l")
    for key, label, result in (
        ("gypsum", "Gypsum", "gypsum_g"),
        ("calcium-chloride", "Calcium chloride", "calcium_chloride_g"),
        ("epsom-salt", "Epsom salt", "epsom_g"),
        ("common-salt", "Common salt", "salt_g"),
    ):
        found.append(_worked(key, "liquor", label, ["liquor-salts-target", result, "g"], given))
    return found


def _copper() -> list:
    def by(key: str, label: str, result: str, unit: str) -> dict:
        return _worked(key, "copper", label, ["copper-volumes", result, unit], _COPPER)

    return [
        by("copper-start", "Copper full, at 20 °C", "start_l", "L"),
        by("copper-start-gravity", "Gravity at copper full", "start_sg", ""),
        by("boil-gravity", "Mean gravity of the boil", "mean_sg", ""),
        _given("boil-time", "copper", "Boil", "min", "boil_min"),
        by("copper-end", "End of boil, at 20 °C", "end_l", "L"),
        _given("copper-end-gravity", "copper", "Gravity at the end of the boil", "", "original_sg"),
    ]


def in_order(recipe: dict, use: str) -> list:
    """The recipe's hops of one use, in the order they go in."""
    rows = []
    for at in range(len(recipe["hops"])):
        row = recipe["hops"][at]
        if row.get("use") == use:
            minutes = row.get("minutes")
            rows.append((-numbers.value(minutes) if minutes else 0.0, at))
    rows.sort()
    return [recipe["hops"][at] for _, at in rows]


def _named(row: dict) -> str:
    name = row.get("hop", "Hops")
    return name + ", " + row["lot"] if row.get("lot") else name


def _boil_hops(recipe: dict) -> list:
    found = []
    rows = in_order(recipe, "boil")
    for at in range(len(rows)):
        key, row = "boil-hop-" + str(at + 1), rows[at]
        name = _named(row) + ", " + row.get("minutes", "?") + " min"
        share = {
            "total_ibu": _recipe("bitterness_ibu"),
            "late_ibu": _line("late-bitterness"),
            "share_pct": row.get("share_pct", ""),
        }
        mass = {
            "target_ibu": _line(key + "-bitterness"),
            "alpha_pct": row.get("alpha_pct", ""),
            "minutes": row.get("minutes", ""),
            "volume_l": _line("copper-end"),
            "sg": _line("boil-gravity"),
        }
        line = _worked(key, "copper", name, ["hop-addition", "hops_kg", "kg"], mass)
        line["minutes"] = row.get("minutes", "")
        found.append(line)
        sum_ = ["bitterness-share", "ibu", "IBU"]
        found.append(_worked(key + "-bitterness", "copper", name + ": to give", sum_, share))
        found.append(_quiet(key + "-alpha", "copper", name + ": alpha acids", "%", row.get("alpha_pct", "")))
        found.append(_quiet(key + "-minutes", "copper", name + ": boiled for", "min", row.get("minutes", "")))
    if rows:
        hops = [["boil-hop-" + str(at + 1), rows[at]] for at in range(len(rows))]
        given = {
            "hops": {"rows": [[_line(key), r.get("alpha_pct", ""), r.get("minutes", "")] for key, r in hops]},
            "volume_l": _line("copper-end"),
            "sg": _line("boil-gravity"),
        }
        found.append(
            _worked(
                "boil-bitterness",
                "copper",
                "Bitterness from the boil",
                ["boil-bitterness", "ibu", "IBU"],
                given,
            )
        )
    return found


def _late_hops(recipe: dict) -> list:
    rows = in_order(recipe, "whirlpool")
    if not rows:
        return []
    stand = recipe.get("stand_c", "")
    found = []
    hops = []
    for at in range(len(rows)):
        key, row = "whirlpool-hop-" + str(at + 1), rows[at]
        given = {"volume_l": _line("copper-end"), "dose_g_l": row.get("dose_g_l", "")}
        found.append(_worked(key, "whirlpool", _named(row), ["late-hops", "hops_kg", "kg"], given))
        hops.append(["0", _line(key), row.get("alpha_pct", "")])
    log = [["0", stand], [recipe.get("stand_min", ""), stand]]
    given = {
        "log": {"rows": log},
        "hops": {"rows": hops},
        "volume_l": _line("copper-end"),
        "loss_factor": _site("hop-loss-factor"),
    }
    found.append(_given("stand-temperature", "whirlpool", "Hop stand", "°C", "stand_c"))
    found.append(_given("stand-time", "whirlpool", "Stand for", "min", "stand_min"))
    sum_ = ["hop-isomerisation", "ibu", "IBU"]
    found.append(_worked("late-bitterness", "whirlpool", "Bitterness from the stand", sum_, given))
    return found


def _fermenter(recipe: dict) -> list:
    brews = {
        "brews": {"rows": [[_recipe("volume_l"), _recipe("original_sg")]] * int(recipe.get("brews", "1"))}
    }
    pitch = {
        "rate_m_ml_plato": _recipe("pitch_rate"),
        "wort_l": _line("collected"),
        "plato": _line("original-plato"),
        "slurry_m_ml": _site("slurry-cells"),
        "viability_pct": _site("slurry-viability"),
    }
    slurry = ["pitching-rate", "slurry_kg", "kg"]
    return [
        _given("brew-volume", "fermenter", "Collected from one brew", "L", "volume_l"),
        _given("brew-gravity", "fermenter", "Original gravity of one brew", "", "original_sg"),
        _worked("collected", "fermenter", "Collected in all", ["blend-brews", "volume_l", "L"], brews, "gyle"),
        _worked("original-gravity", "fermenter", "Original gravity", ["blend-brews", "sg", ""], brews, "gyle"),
        _worked("original-plato", "fermenter", "Original extract", ["blend-brews", "plato", "°P"], brews, "gyle"),
        _worked("pitch", "fermenter", "Yeast to pitch, for all of it", slurry, pitch, "gyle"),
        _worked("pitch-volume", "fermenter", "Or by volume", ["pitching-rate", "slurry_l", "L"], pitch, "gyle"),
        _given("pitch-temperature", "fermenter", "Pitch at", "°C", "pitch_c"),
        _given("ferment-temperature", "fermenter", "Ferment at", "°C", "ferment_c"),
    ]  # fmt: skip


def _beer(recipe: dict) -> list:
    final = {"original_sg": _line("original-gravity"), "attenuation_pct": _recipe("attenuation_pct")}
    duty = {"original": {"degrees": "original-gravity"}, "present": {"degrees": "final-gravity"}}
    total = {"boil_ibu": _line("boil-bitterness"), "late_ibu": _line("late-bitterness")}
    found = [
        _worked("final-gravity", "beer", "Final gravity", ["final-gravity", "present_sg", ""], final, "gyle"),
        _worked("alcohol", "beer", "Alcohol", ["attenuation", "abv", "%"], _ATTENUATION, "gyle"),
        _worked(
            "duty-strength", "beer", "Strength for duty", ["duty-strength", "abv", "% ABV"], duty, "gyle"
        ),
        _worked("bitterness", "beer", "Bitterness", ["bitterness-total", "ibu", "IBU"], total, "gyle"),
    ]
    rows = in_order(recipe, "dry")
    for at in range(len(rows)):
        row = rows[at]
        given = {
            "beer_l": _line("collected"),
            "dose_g_l": row.get("dose_g_l", ""),
            "kept_l_kg": _site("hop-kept"),
        }
        key = "dry-hop-" + str(at + 1)
        found.append(_worked(key, "beer", _named(row) + ", dry", ["dry-hop", "hops_kg", "kg"], given, "gyle"))
    return found


def lines(recipe: dict) -> list:
    """The lines of this recipe's sheet, by stage; each with `calculation`, `result`, `inputs`, or a plain `value`."""
    every = (
        _liquor(recipe) + _grist(recipe) + _mash(recipe) + _copper() + _boil_hops(recipe) + _late_hops(recipe)
    )
    every = every + _fermenter(recipe) + _beer(recipe)
    found = []
    for stage in STAGES:
        found.extend([line for line in every if line["stage"] == stage[0]])
    return found
