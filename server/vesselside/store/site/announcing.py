"""Putting away what the desk announces. That it was put away, and by whom, is itself administration."""

from vesselside.store.base.db import now_ms, writing
from vesselside.store.base.instants import sequence_text
from vesselside.store.log import feed, writer
from vesselside.store.log.book import Book
from vesselside.store.site.siting import ReferenceDataError


def put_away(book: Book, through: int, *, by: str = writer.COMMAND_LINE, now: int | None = None) -> None:
    """Announce nothing any more up to this place of the log. ReferenceDataError when the log ends before."""
    with writing(book.brewery):
        if through > feed.head(book.brewery):
            raise ReferenceDataError("There is nothing at that place of the log yet.")
        data = {"through": sequence_text(through)}
        writer.administer(book, "announcement.put-away", data, by=by, now=now_ms() if now is None else now)
