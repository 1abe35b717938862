"""The one error the core raises."""


class CoreError(Exception):
    """What is wrong, as a kebab-case `code`, a sentence a person reads, and the field it is about."""

    def __init__(self, code: str, text: str, field: str | None = None) -> None:
        super().__init__(text)
        self.code = code
        self.text = text
        self.field = field
