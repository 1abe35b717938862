"""What cannot be kept because of what stands in its fields, and what is not heard for a while."""


class FieldsError(ValueError):
    """Something sent has faults, each `{field, text}`; `faults` lists them."""

    def __init__(self, faults: list[dict[str, str]]) -> None:
        super().__init__("; ".join(fault["text"] for fault in faults[:20]))
        self.faults = faults

    def by_field(self) -> dict[str, list[str]]:
        """What is wrong at each field."""
        found: dict[str, list[str]] = {}
        for fault in self.faults:
            found.setdefault(fault["field"], []).append(fault["text"])
        return found


class LaterError(Exception):
    """Too much came of one kind; no more of it is heard for `seconds`."""

    def __init__(self, what: str, seconds: int) -> None:
        super().__init__(f"{what}; try again in {seconds} s.")
        self.seconds = seconds
