"""What is known of each photo; the bytes lie in the photo store."""

from datetime import datetime

from sqlalchemy import ForeignKey, Integer, LargeBinary, String
from sqlalchemy.orm import Mapped, mapped_column

from .base import Base
from .types import RecordId, UtcDateTime


class PhotoBytes(Base):
    """A photo's bytes, where many machines share the database and nothing else."""

    __tablename__ = "photo_bytes"

    club_id: Mapped[str] = mapped_column(RecordId, ForeignKey("club_revisions.club_id"), primary_key=True)
    name: Mapped[str] = mapped_column(String(80), primary_key=True)
    content: Mapped[bytes] = mapped_column(LargeBinary)


class PhotoPiece(Base):
    """A piece of a photo that is still arriving. In the database, so that any process can take the next piece."""

    __tablename__ = "photo_pieces"

    club_id: Mapped[str] = mapped_column(RecordId, ForeignKey("club_revisions.club_id"), primary_key=True)
    sha256: Mapped[str] = mapped_column(String(64), primary_key=True)
    first: Mapped[int] = mapped_column(Integer, primary_key=True)
    content: Mapped[bytes] = mapped_column(LargeBinary)
    arrived_at: Mapped[datetime] = mapped_column(UtcDateTime)


class Photo(Base):
    """One photo of a club, named by the SHA-256 of the bytes that were sent."""

    __tablename__ = "photos"

    club_id: Mapped[str] = mapped_column(RecordId, ForeignKey("club_revisions.club_id"), primary_key=True)
    sha256: Mapped[str] = mapped_column(String(64), primary_key=True)
    media_type: Mapped[str] = mapped_column(String(20))
    n_bytes: Mapped[int] = mapped_column(Integer)
    width: Mapped[int] = mapped_column(Integer)
    height: Mapped[int] = mapped_column(Integer)
    sent_by: Mapped[str] = mapped_column(RecordId)
    sent_at: Mapped[datetime] = mapped_column(UtcDateTime)
