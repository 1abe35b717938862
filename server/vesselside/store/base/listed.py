"""Tables that lists are read from, a row a line; each a projection that can be made again from the log."""

from typing import Any

from sqlalchemy import JSON, BigInteger, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from vesselside.store.base.db import Base
from vesselside.store.base.models import Key, of_brewery


class Cleaning(Base):
    """A projection: one clean with its figures (`fold/cleanings`); `time` is when it was closed, or opened."""

    __tablename__ = "cleanings"
    brewery: Mapped[str] = of_brewery()
    run: Mapped[str] = mapped_column(Key, primary_key=True)
    time: Mapped[str] = mapped_column(String(24))
    vessel: Mapped[str | None] = mapped_column(Key)
    content: Mapped[dict[str, Any]] = mapped_column(JSON)
    __table_args__ = (
        Index("ix_cleanings_time", "brewery", "time", "run"),
        Index("ix_cleanings_vessel", "brewery", "vessel", "time", "run"),
    )


class DeviationRow(Base):
    """A projection: one deviation of a run, found in the run, in a life or at an instrument (`fold/deviating`)."""

    __tablename__ = "deviations"
    brewery: Mapped[str] = of_brewery()
    run: Mapped[str] = mapped_column(Key, primary_key=True)
    origin: Mapped[str] = mapped_column(String(8), primary_key=True)
    place: Mapped[int] = mapped_column(BigInteger, primary_key=True, autoincrement=False)
    rank: Mapped[int] = mapped_column(BigInteger)
    time: Mapped[str] = mapped_column(String(24))
    vessel: Mapped[str | None] = mapped_column(Key)
    content: Mapped[dict[str, Any]] = mapped_column(JSON)
    __table_args__ = (
        Index("ix_deviations_listed", "brewery", "rank", "time", "run", "origin", "place"),
        Index("ix_deviations_vessel", "brewery", "vessel", "rank", "time", "run", "origin", "place"),
    )
