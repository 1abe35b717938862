"""What cannot be kept because of what stands in its fields."""


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
