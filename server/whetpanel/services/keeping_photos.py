"""Taking in and giving out photos.

A photo is named by the hash of what the phone sent, so sending it again is harmless and a record can name it
before it has arrived. What is kept and served is a copy without metadata: a phone writes the place where a
picture was taken into it, and that is nobody's business here.
"""

import hashlib
import io
import warnings
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from PIL import Image, ImageOps, UnidentifiedImageError
from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from ..clock import Clock
from ..errors import FieldError, Invalid, NotFound, TooLarge
from ..settings import Settings
from ..storage.base import Database
from ..storage.photo_store import PhotoStore
from ..storage.schema import Photo, PhotoPiece
from .caller import Caller

FORMATS = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}
MAX_PIXELS = 40_000_000
THUMB_PX = 320


@dataclass(frozen=True)
class KeptPhoto:
    """What is known of a photo, and whether it is new."""

    body: dict[str, Any]
    new: bool


def _body(photo: Photo) -> dict[str, Any]:
    return {
        "sha256": photo.sha256,
        "media_type": photo.media_type,
        "bytes": photo.n_bytes,
        "width": photo.width,
        "height": photo.height,
    }


def _clean_copy(content: bytes) -> tuple[bytes, bytes, str, int, int]:
    """The picture without metadata, its thumbnail (WebP), media type, width and height in pixels."""
    try:
        with warnings.catch_warnings():
            # Pillow only warns of a picture that would unpack to an absurd size; here that is a refusal.
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            image: Image.Image = Image.open(io.BytesIO(content), formats=list(FORMATS))
            if image.width * image.height > MAX_PIXELS:
                raise Invalid("The photo has too many pixels. Send at most 40 megapixels.")
            kind = str(image.format)
            upright = ImageOps.exif_transpose(image)
            image = upright if upright is not None else image
            if image.mode not in ("RGB", "L"):
                image = image.convert("RGB")
            bare = Image.frombytes(image.mode, image.size, image.tobytes())
    except (
        UnidentifiedImageError,
        OSError,
        Image.DecompressionBombError,
        Image.DecompressionBombWarning,
        SyntaxError,
    ):
        raise Invalid("This is not a photo the service can read. Send a JPEG, PNG or WebP.") from None
    out, thumb = io.BytesIO(), io.BytesIO()
    bare.save(out, kind, **({"quality": 88} if kind != "PNG" else {}))
    small = bare.copy()
    small.thumbnail((THUMB_PX, THUMB_PX))
    small.save(thumb, "WEBP", quality=75)
    return out.getvalue(), thumb.getvalue(), FORMATS[kind], bare.width, bare.height


def keep_photo(
    database: Database,
    photos: PhotoStore,
    clock: Clock,
    settings: Settings,
    caller: Caller,
    sha256: str,
    content: bytes,
) -> KeptPhoto:
    """Keep a photo under its hash. Raises TooLarge, Invalid (hash and bytes differ, or not a photo)."""
    with database.read() as session:
        known = session.get(Photo, (caller.club_id, sha256))
        if known is not None:
            return KeptPhoto(_body(known), new=False)
    if len(content) > settings.photo_max_bytes:
        raise TooLarge(
            f"The photo is larger than {settings.photo_max_bytes} bytes. Shrink it and send it again."
        )
    if hashlib.sha256(content).hexdigest() != sha256:
        raise Invalid(
            "The photo did not arrive as it was sent. Send it again.",
            [FieldError("sha256", "The hash in the address is not the hash of the body.")],
        )
    clean, thumb, media_type, width, height = _clean_copy(content)
    # Bytes first, row second: a crash between them leaves an unnamed file, never a row without its photo.
    photos.put(caller.club_id, sha256, clean)
    photos.put(caller.club_id, f"{sha256}.thumb", thumb)
    with database.write() as session:
        known = session.get(Photo, (caller.club_id, sha256))
        if known is not None:
            return KeptPhoto(_body(known), new=False)
        photo = Photo(
            club_id=caller.club_id, sha256=sha256, media_type=media_type, n_bytes=len(clean),
            width=width, height=height, sent_by=caller.member_id, sent_at=clock(),
        )  # fmt: skip
        session.add(photo)
        return KeptPhoto(_body(photo), new=True)


MAX_PIECE_BYTES = 524_288
FORGET_PIECES_AFTER = timedelta(days=30)


def keep_piece(
    database: Database,
    photos: PhotoStore,
    clock: Clock,
    settings: Settings,
    caller: Caller,
    sha256: str,
    content: bytes,
    *,
    first: int,
    total: int,
) -> KeptPhoto | int:
    """Keep a piece of a photo; the whole photo once no gap is left, else the bytes held from the start.

    Pieces may come again, in any order, over days. Raises TooLarge, Invalid.
    """
    if total > settings.photo_max_bytes:
        raise TooLarge(
            f"The photo is larger than {settings.photo_max_bytes} bytes. Shrink it and send it again."
        )
    if not 0 < len(content) <= MAX_PIECE_BYTES or first + len(content) > total:
        raise Invalid(f"Send pieces of 1 to {MAX_PIECE_BYTES} bytes that lie within the photo.")
    now = clock()
    with database.write() as session:
        known = session.get(Photo, (caller.club_id, sha256))
        if known is not None:
            return KeptPhoto(_body(known), new=False)
        session.merge(
            PhotoPiece(club_id=caller.club_id, sha256=sha256, first=first, content=content, arrived_at=now)
        )
        session.execute(
            delete(PhotoPiece).where(
                PhotoPiece.club_id == caller.club_id, PhotoPiece.arrived_at < now - FORGET_PIECES_AFTER
            )
        )
        session.flush()
        held = _held(session, caller, sha256)
    if len(held) < total:
        return len(held)
    try:
        kept = keep_photo(database, photos, clock, settings, caller, sha256, held)
    finally:
        # Whole or damaged: the pieces have done their duty, and a damaged photo must be sent afresh.
        with database.write() as session:
            session.execute(
                delete(PhotoPiece).where(PhotoPiece.club_id == caller.club_id, PhotoPiece.sha256 == sha256)
            )
    return kept


def _held(session: Session, caller: Caller, sha256: str) -> bytes:
    """The bytes from the start up to the first gap."""
    pieces = session.execute(
        select(PhotoPiece)
        .where(PhotoPiece.club_id == caller.club_id, PhotoPiece.sha256 == sha256)
        .order_by(PhotoPiece.first)
    ).scalars()
    held = bytearray()
    for piece in pieces:
        if piece.first > len(held):
            break
        held += piece.content[len(held) - piece.first :]
    return bytes(held)


def received(database: Database, caller: Caller, sha256: str) -> tuple[int, bool]:
    """How many bytes of a photo are held from its start without a gap, and whether it is complete."""
    with database.read() as session:
        known = session.get(Photo, (caller.club_id, sha256))
        if known is not None:
            return known.n_bytes, True
        return len(_held(session, caller, sha256)), False


def fetch_photo(
    database: Database, photos: PhotoStore, caller: Caller, sha256: str, *, thumb: bool = False
) -> tuple[bytes, str]:
    """A photo's bytes and media type. Raises NotFound."""
    with database.read() as session:
        known = session.get(Photo, (caller.club_id, sha256))
    content = (
        photos.get(caller.club_id, f"{sha256}.thumb" if thumb else sha256) if known is not None else None
    )
    if known is None or content is None:
        raise NotFound("There is no such photo here (yet).")
    return content, "image/webp" if thumb else known.media_type
