"""Tables of what comes to a person by itself: which phones take it, what there is to say, and what was said to whom.

None of it is record: it is of the moment, and a restored database begins without it.
"""

from typing import Any

from sqlalchemy import JSON, BigInteger, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from vesselside.store.base.db import Base
from vesselside.store.base.models import Key, of_brewery


class Subscription(Base):
    """Where a phone's browser takes notices (RFC 8030), of which kinds, and when its person wants none.

    `quiet` is `{from, to, offset}` in minutes: of the day there, and east of UTC. What came up before `since` is not
    told to it.
    """

    __tablename__ = "subscriptions"
    brewery: Mapped[str] = of_brewery()
    device: Mapped[str] = mapped_column(Key, primary_key=True)
    person: Mapped[str | None] = mapped_column(Key)
    endpoint: Mapped[str] = mapped_column(Text)
    key: Mapped[str] = mapped_column(Text)
    auth: Mapped[str] = mapped_column(Text)
    kinds: Mapped[list[str]] = mapped_column(JSON)
    quiet: Mapped[dict[str, int] | None] = mapped_column(JSON)
    since: Mapped[int] = mapped_column(BigInteger)


class Notice(Base):
    """Something that came up `at` a time and is worth telling `until` another; `ended` once it is so no more."""

    __tablename__ = "notices"
    brewery: Mapped[str] = of_brewery()
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    kind: Mapped[str] = mapped_column(String(16))
    content: Mapped[dict[str, Any]] = mapped_column(JSON)
    at: Mapped[int] = mapped_column(BigInteger)
    until: Mapped[int] = mapped_column(BigInteger)
    ended: Mapped[bool] = mapped_column(default=False)


class Delivery(Base):
    """A notice for one phone: to be sent from `due` [ms] on, which is empty once it was sent or given up."""

    __tablename__ = "deliveries"
    brewery: Mapped[str] = of_brewery()
    notice: Mapped[str] = mapped_column(Key, primary_key=True)
    device: Mapped[str] = mapped_column(Key, primary_key=True)
    due: Mapped[int | None] = mapped_column(BigInteger)
    tries: Mapped[int] = mapped_column(BigInteger, default=0)
    outcome: Mapped[str | None] = mapped_column(String(16))
    __table_args__ = (
        Index(
            "ix_deliveries_due",
            "brewery",
            "due",
            sqlite_where=due.is_not(None),
            postgresql_where=due.is_not(None),
        ),
    )
