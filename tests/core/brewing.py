"""An invented recipe and a small invented procedure that measures it, for tests of the sheet and of the gyle."""

from typing import Any

RECIPE: dict[str, Any] = {
    "id": "bench-pale",
    "version": 1,
    "name": "Bench pale",
    "volume_l": "1200",
    "brews": "1",
    "original_sg": "1.0420",
    "attenuation_pct": "78",
    "bitterness_ibu": "32",
    "mash_temp_c": "66",
    "ratio_l_kg": "2.7",
    "boil_min": "60",
    "yeast": "Bench yeast",
    "pitch_rate": "0.75",
    "pitch_c": "18",
    "ferment_c": "19",
    "stand_c": "80",
    "stand_min": "20",
    "calcium_mg_l": "110",
    "magnesium_mg_l": "8",
    "sodium_mg_l": "18",
    "sulphate_mg_l": "130",
    "chloride_mg_l": "60",
    "grist": [
        {"malt": "Pale", "share_pct": "93.5", "extract_pct": "80"},
        {"malt": "Crystal", "share_pct": "6.5", "extract_pct": "74"},
    ],
    "hops": [
        {"hop": "Late", "use": "boil", "alpha_pct": "5.4", "minutes": "15", "share_pct": "20"},
        {"hop": "Early", "lot": "E-1", "use": "boil", "alpha_pct": "9.1", "minutes": "60", "share_pct": "80"},
        {"hop": "Stand", "use": "whirlpool", "alpha_pct": "5.4", "dose_g_l": "1.5"},
        {"hop": "Dry", "use": "dry", "alpha_pct": "6", "dose_g_l": "2"},
    ],
}

MEASURES = {
    "malt": "kg", "malt-temperature": "°C", "tun-temperature": "°C", "strike": "°C", "mash-liquor": "L",
    "mash-temperature": "°C", "boil-hop-1-alpha": "%", "copper-start": "L", "copper-start-gravity": "",
    "copper-end": "L", "copper-end-gravity": "", "brew-volume": "L", "brew-gravity": "", "collected": "L",
    "bright-volume": "L", "gravity-now": "", "temperature-now": "°C", "final-gravity": "",
}  # fmt: skip


def procedure(*measures: str, series: tuple[str, ...] = ()) -> dict[str, Any]:
    """A procedure of one step that reads these measures."""
    entries = [
        {"id": name, "label": name, "kind": "reading", "unit": MEASURES.get(name, "kg"), "measures": name,
         **({"series": True} if name in series else {})}
        for name in measures
    ]  # fmt: skip
    return {"id": "bench-brew", "steps": [{"id": "read", "entries": entries}]}


def run(name: str, minute: int, values: dict[str, str | list[str]], *measures: str) -> dict[str, Any]:
    """A run as the fold gives it, opened at a minute: each measure read as said, all of them live."""
    day, rest = divmod(minute, 1440)
    time = f"2026-11-{1 + day:02d}T{rest // 60:02d}:{rest % 60:02d}:00.000Z"

    def field(key: str) -> dict[str, Any]:
        said = values.get(key, [])
        rows = [
            {"value": value, "time": time, "person": "bay", "state": "live"}
            for value in ([said] if isinstance(said, str) else said)
        ]
        return {"status": "live" if rows else "empty", "all": rows}

    names = measures or tuple(values)
    several = tuple(key for key in names if isinstance(values.get(key), list))
    view = {
        "id": name,
        "status": "finished",
        "steps": {"read": {"entries": {key: field(key) for key in names}}},
    }
    return {"run": view, "procedure": procedure(*names, series=several)}
