"""The reference of a procedure's fields is made from the form's words and kept current."""

from vesselside.library.words import PAGE, page


def test_the_reference_is_current() -> None:
    written = PAGE.read_text(encoding="utf-8")
    assert written == page(written), "make it again: python -m vesselside.library.words"
