"""How a calculation's input is described: id, label, unit, the range that holds, places, default."""


def number(
    key: str, label: str, unit: str, least: str, most: str, places: int, default: str | None = None
) -> dict:
    """One numeric input; `least`, `most` and `default` are decimal texts in `unit`, `places` digits are asked for."""
    row = {"id": key, "label": label, "unit": unit, "min": least, "max": most, "places": places}
    if default is not None:
        row["default"] = default
    return row
