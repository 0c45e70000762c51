"""Clubs, their members, and who is signed in."""

from datetime import datetime
from typing import Any

from sqlalchemy import Boolean, Float, ForeignKey, Index, Integer, String
from sqlalchemy.orm import Mapped, mapped_column

from .base import Base
from .record import RecordMixin
from .types import Json, RecordId, UtcDateTime


class ClubRevision(Base):
    """One row a club: the counter that every write takes, and by taking it waits for its turn.

    The row lock is held until the write commits, so revisions become visible in their order and a cursor
    that has read up to R can never miss a later commit below R.
    """

    __tablename__ = "club_revisions"

    club_id: Mapped[str] = mapped_column(RecordId, primary_key=True)
    revision: Mapped[int] = mapped_column(Integer)


class Club(RecordMixin, Base):
    """A club of sharpeners; its record's id is the club's own id."""

    __tablename__ = "clubs"
    THING = "club"
    FIELDS = ("name", "invented", "publish_rules", "confirm_depth_mm")

    slug: Mapped[str] = mapped_column(String(60), unique=True)
    name: Mapped[str] = mapped_column(String(120))
    invented: Mapped[bool] = mapped_column(Boolean)
    publish_rules: Mapped[dict[str, Any]] = mapped_column(Json)
    confirm_depth_mm: Mapped[float] = mapped_column(Float)

    def derived_fields(self) -> dict[str, Any]:
        """The slug is given once, when the club is made."""
        return {"slug": self.slug}

    def take_derived(self, body: dict[str, Any]) -> None:
        """The slug."""
        self.slug = body["slug"]


class Member(RecordMixin, Base):
    """A person in a club, with the roles that person has there."""

    __tablename__ = "members"
    THING = "member"
    FIELDS = ("display_name", "sign_in_name", "roles", "active")

    display_name: Mapped[str] = mapped_column(String(80))
    sign_in_name: Mapped[str] = mapped_column(String(40))
    roles: Mapped[list[str]] = mapped_column(Json)
    active: Mapped[bool] = mapped_column(Boolean)
    password_hash: Mapped[str] = mapped_column(String(200))


class Consent(RecordMixin, Base):
    """What a member agrees to; its id is the member's, and nobody else can write it."""

    __tablename__ = "consents"
    THING = "consent"
    FIELDS = ("names_on_slips",)

    names_on_slips: Mapped[bool] = mapped_column(Boolean)


class SignIn(Base):
    """One signed-in device or program. Only the token's hash is kept, so a stolen table opens no door."""

    __tablename__ = "sign_ins"

    token_hash: Mapped[str] = mapped_column(String(64), primary_key=True)
    club_id: Mapped[str] = mapped_column(RecordId, ForeignKey("club_revisions.club_id"))
    member_id: Mapped[str] = mapped_column(RecordId, index=True)
    kind: Mapped[str] = mapped_column(String(10))
    device: Mapped[str | None] = mapped_column(String(120))
    created_at: Mapped[datetime] = mapped_column(UtcDateTime)
    last_used_at: Mapped[datetime] = mapped_column(UtcDateTime)
    ends_at: Mapped[datetime] = mapped_column(UtcDateTime)
    ended_at: Mapped[datetime | None] = mapped_column(UtcDateTime)


class Invitation(Base):
    """A link by which a new member joins, once. Only the token's hash is kept."""

    __tablename__ = "invitations"

    club_id: Mapped[str] = mapped_column(RecordId, ForeignKey("club_revisions.club_id"), primary_key=True)
    id: Mapped[str] = mapped_column(RecordId, primary_key=True)
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    display_name: Mapped[str] = mapped_column(String(80))
    roles: Mapped[list[str]] = mapped_column(Json)
    invited_by: Mapped[str] = mapped_column(RecordId)
    created_at: Mapped[datetime] = mapped_column(UtcDateTime)
    ends_at: Mapped[datetime] = mapped_column(UtcDateTime)
    used_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    member_id: Mapped[str | None] = mapped_column(RecordId)
    withdrawn_at: Mapped[datetime | None] = mapped_column(UtcDateTime)


class WrongTry(Base):
    """A sign-in that failed; counted to slow down guessing, whichever process took it."""

    __tablename__ = "wrong_tries"
    __table_args__ = (Index(None, "name_key", "at"),)

    id: Mapped[str] = mapped_column(RecordId, primary_key=True)
    name_key: Mapped[str] = mapped_column(String(64))
    at: Mapped[datetime] = mapped_column(UtcDateTime)
