"""A whole club as one file: every state of every record, its members' sign-ins and its photos; and back again.

The file is a ZIP of JSON lines and photos, so that it can be read without this program. It holds the members'
password hashes: whoever has the file can try to guess passwords, so it belongs where back-ups belong.
"""

import hashlib
import io
import json
import zipfile
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Date, select
from sqlalchemy.orm import Session

from ..errors import Conflict, Invalid, NotFound
from ..settings import Settings
from ..storage.base import Database
from ..storage.photo_store import PhotoStore
from ..storage.record import RecordMixin
from ..storage.schema import RECORDS, Club, ClubRevision, JournalEntry, Member, Photo
from ..storage.types import UtcDateTime
from .caller import STEWARD, Caller
from .signing_in import confirm_password

FORMAT = "whetpanel-club"
FORMAT_VERSION = 1
BATCH = 500

JOURNAL, MEMBERS, PHOTOS, MANIFEST = "journal.jsonl", "sign_ins.jsonl", "photos.jsonl", "manifest.json"


def _line(value: dict[str, Any]) -> bytes:
    return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode() + b"\n"


def _entry(row: JournalEntry) -> dict[str, Any]:
    return {
        "revision": row.revision,
        "thing": row.thing,
        "record_id": row.record_id,
        "version": row.version,
        "base_version": row.base_version,
        "digest": row.digest,
        "latest": row.latest,
        "member_id": row.member_id,
        "author_id": row.author_id,
        "written_at": row.written_at.isoformat(),
        "body": row.body,
    }


def _journal(session: Session, club_id: str) -> Iterator[dict[str, Any]]:
    after = 0
    while True:
        rows = (
            session.execute(
                select(JournalEntry)
                .where(JournalEntry.club_id == club_id, JournalEntry.revision > after)
                .order_by(JournalEntry.revision)
                .limit(BATCH)
            )
            .scalars()
            .all()
        )
        for row in rows:
            yield _entry(row)
        if len(rows) < BATCH:
            return
        after = rows[-1].revision


def export_club(database: Database, photos: PhotoStore, slug: str, path: Path) -> dict[str, Any]:
    """Write a club to a ZIP file and return its manifest. The same club gives the same bytes.

    Raises NotFound. A photo whose bytes are missing is named in the manifest, not passed over.
    """
    temporary = path.with_name(path.name + ".part")
    with database.snapshot() as session, zipfile.ZipFile(temporary, "w", zipfile.ZIP_DEFLATED) as bundle:
        club = session.execute(select(Club).where(Club.slug == slug)).scalar_one_or_none()
        if club is None:
            raise NotFound(f"There is no club with the short name {slug}.")
        revision = session.get_one(ClubRevision, club.id).revision
        digests: dict[str, str] = {}

        def put(name: str, content: bytes) -> None:
            digests[name] = hashlib.sha256(content).hexdigest()
            # A fixed time: a bundle is told by what it holds, not by when it was made.
            bundle.writestr(zipfile.ZipInfo(name, (2020, 1, 1, 0, 0, 0)), content, zipfile.ZIP_DEFLATED)

        journal = io.BytesIO()
        n_entries = 0
        for entry in _journal(session, club.id):
            journal.write(_line(entry))
            n_entries += 1
        put(JOURNAL, journal.getvalue())
        members = session.execute(
            select(Member).where(Member.club_id == club.id).order_by(Member.id)
        ).scalars()
        put(MEMBERS, b"".join(_line({"id": row.id, "password_hash": row.password_hash}) for row in members))
        kept = (
            session.execute(select(Photo).where(Photo.club_id == club.id).order_by(Photo.sha256))
            .scalars()
            .all()
        )
        put(PHOTOS, b"".join(_line(_photo(row)) for row in kept))
        missing = []
        for row in kept:
            for name in (row.sha256, f"{row.sha256}.thumb"):
                content = photos.get(club.id, name)
                if content is None:
                    missing.append(name)
                else:
                    put(f"photos/{name}", content)
        manifest = {
            "format": FORMAT, "format_version": FORMAT_VERSION, "club_id": club.id, "slug": club.slug,
            "revision": revision, "n_entries": n_entries, "n_photos": len(kept), "missing_photos": missing,
            "sha256": digests,
        }  # fmt: skip
        bundle.writestr(
            zipfile.ZipInfo(MANIFEST, (2020, 1, 1, 0, 0, 0)), json.dumps(manifest, indent=1, sort_keys=True)
        )
    temporary.replace(path)
    return manifest


def export_own_club(
    database: Database, photos: PhotoStore, settings: Settings, caller: Caller, password: str, path: Path
) -> dict[str, Any]:
    """The caller's club to a file: for the steward, with the own password again, since it holds everybody's sign-in."""
    caller.require(STEWARD)
    confirm_password(database, settings, caller, password)
    with database.read() as session:
        slug = session.get_one(Club, (caller.club_id, caller.club_id)).slug
    return export_club(database, photos, slug, path)


def _photo(row: Photo) -> dict[str, Any]:
    return {
        "sha256": row.sha256,
        "media_type": row.media_type,
        "n_bytes": row.n_bytes,
        "width": row.width,
        "height": row.height,
        "sent_by": row.sent_by,
        "sent_at": row.sent_at.isoformat(),
    }


def _read(bundle: zipfile.ZipFile, name: str, digests: dict[str, str]) -> bytes:
    try:
        content = bundle.read(name)
    except KeyError:
        raise Invalid(f"The bundle lacks {name}. Fetch it again.") from None
    if hashlib.sha256(content).hexdigest() != digests.get(name):
        raise Invalid(f"{name} in the bundle is damaged. Fetch it again.")
    return content


def import_club(database: Database, photos: PhotoStore, path: Path) -> dict[str, Any]:
    """Bring a club from a bundle into this service, in one transaction. Returns the manifest.

    Raises Invalid for a file that is no whole bundle, Conflict if the club or its short name is here already.
    """
    try:
        bundle = zipfile.ZipFile(path)
        manifest = json.loads(bundle.read(MANIFEST))
    except (zipfile.BadZipFile, KeyError, ValueError):
        raise Invalid(f"{path.name} is no club bundle.") from None
    with bundle:
        if manifest.get("format") != FORMAT or manifest.get("format_version") != FORMAT_VERSION:
            raise Invalid(f"{path.name} is no club bundle that this version can read.")
        digests = manifest["sha256"]
        entries = [json.loads(line) for line in _read(bundle, JOURNAL, digests).splitlines()]
        hashes = {
            one["id"]: one["password_hash"]
            for one in map(json.loads, _read(bundle, MEMBERS, digests).splitlines())
        }
        kept = [json.loads(line) for line in _read(bundle, PHOTOS, digests).splitlines()]
        club_id = manifest["club_id"]
        strange = {entry["thing"] for entry in entries} - set(RECORDS)
        if strange:
            raise Invalid(
                f"The bundle holds kinds of record that this version does not know: {sorted(strange)}."
            )
        with database.write() as session:
            if session.get(ClubRevision, club_id) is not None:
                raise Conflict(
                    "This club is in the service already. A bundle goes into a service without it."
                )
            if session.execute(select(Club.id).where(Club.slug == manifest["slug"])).first() is not None:
                raise Conflict(f"Another club here has the short name {manifest['slug']}.")
            session.add(ClubRevision(club_id=club_id, revision=manifest["revision"]))
            session.flush()
            for (
                thing
            ) in RECORDS:  # in the order of their references: lots before stones, stones before trials
                for entry in entries:
                    if entry["thing"] == thing and entry["latest"]:
                        session.add(_row(club_id, entry, hashes))
                session.flush()
            for entry in entries:
                session.add(
                    JournalEntry(
                        club_id=club_id,
                        **{**entry, "written_at": datetime.fromisoformat(entry["written_at"])},
                    )
                )
            for one in kept:
                session.add(
                    Photo(club_id=club_id, **{**one, "sent_at": datetime.fromisoformat(one["sent_at"])})
                )
            session.flush()
            for name in sorted(digests):
                if name.startswith("photos/"):
                    photos.put(club_id, name.removeprefix("photos/"), _read(bundle, name, digests))
    return dict(manifest)


def _row(club_id: str, entry: dict[str, Any], hashes: dict[str, str]) -> RecordMixin:
    """A record's row from its latest state in the journal."""
    body = entry["body"]
    model = RECORDS[entry["thing"]]
    row: Any = model(club_id=club_id, id=entry["record_id"], digest=entry["digest"])
    own = {name: _typed(model, name, body[name]) for name in model.FIELDS if name in body}
    row.assign(own)
    for name in ("version", "revision", "created_by", "updated_by"):
        setattr(row, name, body[name])
    for name in ("recorded_at", "created_at", "updated_at"):
        setattr(row, name, _moment(body[name]))
    if body["withdrawn"] is not None:
        row.withdrawn_at = _moment(body["withdrawn"]["at"])
        row.withdrawn_by, row.withdrawn_reason = body["withdrawn"]["by"], body["withdrawn"]["reason"]
    row.take_derived({name: _typed(model, name, value) for name, value in body.items()})
    if isinstance(row, Member):
        row.password_hash = hashes[row.id]
    return row  # type: ignore[no-any-return]


def _moment(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)


def _typed(model: type[Any], name: str, value: Any) -> Any:
    """A JSON value as its column wants it: dates and moments travel as text."""
    column = model.__table__.columns.get(name)
    if column is None or value is None:
        return value
    if isinstance(column.type, UtcDateTime):
        return datetime.fromisoformat(value)
    if isinstance(column.type, Date):
        return date.fromisoformat(value)
    return value
