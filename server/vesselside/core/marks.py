"""What has been recorded at the steps of a run, in order, as marks `{hlc, id, person, time}`."""


def marks(held: dict, struck: bool) -> list[dict]:
    """Every record of work at one step of a run's state: entries, holds, ticks; `struck` counts struck ones too."""
    found: dict = {}
    for event in held["dones"] + held["holds"] + (held["undone"] if struck else []):
        found[(event["hlc"], event["id"])] = event
    for field in held["fields"].values():
        for record in field["all"].values():
            if struck or not record["struck"]:
                found[record["key"]] = _of(record)
    order = sorted(found)
    return [found[key] for key in order]


def _of(record: dict) -> dict:
    mark = {"hlc": record["key"][0], "id": record["event"]}
    mark["person"], mark["time"] = record["person"], record["time"]
    return mark


def live(field: dict) -> list[dict]:
    """The entries of one field that count, as marks with their `value`."""
    found = []
    for key in field["live"]:
        mark = _of(field["all"][key])
        mark["value"] = field["all"][key]["value"]
        found.append(mark)
    return found
