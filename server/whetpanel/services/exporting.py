"""Everything the dealer may see as open tables: CSV with its description, the same records as JSON, a dictionary.

The file is a Data Package, an open standard, so that a club can take its records to any program. The records come from
one look at the database; pooled grades are computed from that same look, started from nothing, so that whoever pools
the exported trials comes to the exported grades. The same state of a club gives the same bytes.
"""

import csv
import hashlib
import json
import shutil
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import IO, Any, BinaryIO

from sqlalchemy import select
from sqlalchemy.orm import Session

from ..core import pooling
from ..core.protocols import PURPOSES
from ..errors import NotFound
from ..storage.base import Database
from ..storage.record import wire_time
from ..storage.schema import RECORDS, Club, ClubRevision, JournalEntry, Photo
from .caller import DEALER, STEWARD, Caller
from .pool_inputs import Inputs, gather, pool_revision
from .pool_scale import pool_scale
from .tables import TABLES, Table, cells, data_package, dictionary
from .tables.trade import WITH_PHOTOS, photo_links

BATCH = 500
_FIXED_TIME = (2020, 1, 1, 0, 0, 0)
"""A package is told by what it holds, not by when it was made."""


class _Sheets:
    """The files of an export while they grow, row by row, in a folder that goes away with them."""

    def __init__(self, folder: Path, stack: ExitStack) -> None:
        self.folder = folder
        self.counts = {table.name: 0 for table in TABLES}
        self._stack = stack
        self._sources: dict[str, list[tuple[Table, Any]]] = {}
        self._arrays: dict[str, IO[str]] = {}
        for place in ("data", "records"):
            (folder / place).mkdir()
        for table in TABLES:
            writer = csv.writer(self._open(f"data/{table.name}.csv"), lineterminator="\r\n")
            writer.writerow([column.name for column in table.columns])
            self._sources.setdefault(table.source, []).append((table, writer))

    def _open(self, name: str) -> IO[str]:
        return self._stack.enter_context((self.folder / name).open("w", encoding="utf-8", newline=""))

    def rows(self, source: str, record: dict[str, Any]) -> None:
        """Put a record's rows into every table that is made from records of its kind."""
        for table, writer in self._sources.get(source, ()):
            for row in table.rows(record):
                writer.writerow(cells(table, row))
                self.counts[table.name] += 1

    def array(self, thing: str, records: Iterator[dict[str, Any]]) -> None:
        """Write records as a JSON array, and as rows."""
        file = self._open(f"records/{thing}.json")
        before = "[\n"
        for record in records:
            file.write(before + json.dumps(record, ensure_ascii=False, sort_keys=True, separators=(",", ":")))
            before = ",\n"
            self.rows(thing, record)
            if thing in WITH_PHOTOS:
                for link in photo_links(thing, record):
                    self.rows("photo_link", dict(link))
        file.write("[]\n" if before == "[\n" else "\n]\n")


def _records(session: Session, model: type[Any], club_id: str) -> Iterator[dict[str, Any]]:
    after = ""
    while True:
        rows = (
            session.execute(
                select(model)
                .where(model.club_id == club_id, model.id > after)
                .order_by(model.id)
                .limit(BATCH)
                if after
                else select(model).where(model.club_id == club_id).order_by(model.id).limit(BATCH)
            )
            .scalars()
            .all()
        )
        for row in rows:
            yield row.body()
        if len(rows) < BATCH:
            return
        after = rows[-1].id
        session.expunge_all()  # what is written need not be kept


def _journal(session: Session, club_id: str) -> Iterator[dict[str, Any]]:
    columns = (
        JournalEntry.revision, JournalEntry.thing, JournalEntry.record_id, JournalEntry.version,
        JournalEntry.base_version, JournalEntry.member_id, JournalEntry.written_at, JournalEntry.digest,
    )  # fmt: skip
    found = session.execute(
        select(*columns).where(JournalEntry.club_id == club_id).order_by(JournalEntry.revision)
    )
    for row in found.yield_per(BATCH):
        yield {**row._mapping, "written_at": wire_time(row.written_at)}


def _versions(session: Session, club_id: str, thing: str) -> Iterator[dict[str, Any]]:
    yield from session.execute(
        select(JournalEntry.body)
        .where(JournalEntry.club_id == club_id, JournalEntry.thing == thing)
        .order_by(JournalEntry.record_id, JournalEntry.version)
    ).scalars()


def _photos(session: Session, club_id: str) -> Iterator[dict[str, Any]]:
    for row in session.execute(
        select(Photo).where(Photo.club_id == club_id).order_by(Photo.sha256)
    ).scalars():
        yield {
            "sha256": row.sha256, "media_type": row.media_type, "n_bytes": row.n_bytes, "width": row.width,
            "height": row.height, "sent_by": row.sent_by, "sent_at": wire_time(row.sent_at),
        }  # fmt: skip


def _read(
    session: Session, club_id: str, sheets: _Sheets
) -> tuple[dict[str, Any], dict[str, list[Inputs]], int]:
    """Everything that is read, in one look: the records into the sheets, and what pooling needs."""
    club = session.get_one(Club, (club_id, club_id))
    about = {
        "name": f"{club.slug}-tables",
        "title": f"{club.name}: records and pooled grades",
        "description": "Read DICTIONARY.md first. The files name members and say what stones cost.",
        "revision": session.get_one(ClubRevision, club_id).revision,
        "method_version": pooling.METHOD_VERSION,
    }
    inputs = {str(purpose): gather(session, club_id, purpose) for purpose in PURPOSES}
    revision = pool_revision(session, club_id)
    for thing, model in RECORDS.items():
        sheets.array(thing, _records(session, model, club_id))
    for thing in ("protocol", "rule_set"):
        for body in _versions(session, club_id, thing):
            sheets.rows(f"{thing}_version", body)
    for photo in _photos(session, club_id):
        sheets.rows("photo", photo)
    for entry in _journal(session, club_id):
        sheets.rows("journal", entry)
    return about, inputs, revision


def _pool(inputs: dict[str, list[Inputs]], revision: int, sheets: _Sheets) -> None:
    for purpose, scales in inputs.items():
        for one in scales:
            made = pool_scale(one)
            sheets.rows(
                "pooled_scale",
                {
                    **made.result, "purpose": purpose, "revision": revision, "readings": made.readings,
                    "drifts": made.drifts,
                },
            )  # fmt: skip


def _digest(path: Path) -> tuple[int, str]:
    with path.open("rb") as file:
        return path.stat().st_size, hashlib.file_digest(file, "sha256").hexdigest()


def _zip(folder: Path, about: dict[str, Any], target: BinaryIO) -> None:
    names = [f"data/{table.name}.csv" for table in TABLES]
    descriptor = data_package(TABLES, {name: _digest(folder / name) for name in names}, about)
    texts = {
        "datapackage.json": json.dumps(descriptor, ensure_ascii=False, indent=1) + "\n",
        "DICTIONARY.md": dictionary(TABLES),
    }
    with zipfile.ZipFile(target, "w") as package:
        for name in (*texts, *names, *(f"records/{thing}.json" for thing in RECORDS)):
            entry = zipfile.ZipInfo(name, _FIXED_TIME)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            with package.open(entry, "w") as out:
                if name in texts:
                    out.write(texts[name].encode())
                else:
                    with (folder / name).open("rb") as file:
                        shutil.copyfileobj(file, out)


def write_tables(database: Database, club_id: str, target: BinaryIO) -> dict[str, Any]:
    """Write a club's tables as a ZIP file, and say what they are: name, title, revision, rows by table."""
    with tempfile.TemporaryDirectory(prefix="whetpanel-export-") as name:
        folder = Path(name)
        with ExitStack() as stack:
            sheets = _Sheets(folder, stack)
            with database.snapshot() as session:
                about, inputs, revision = _read(session, club_id, sheets)
            # The database is let go before the fits begin: they take their time and keep nobody waiting.
            _pool(inputs, revision, sheets)
        _zip(folder, about, target)
    return {**about, "n_rows": sheets.counts}


def export_tables(database: Database, caller: Caller, target: BinaryIO) -> dict[str, Any]:
    """The caller's club as tables. Only the dealer and the steward see all of it."""
    caller.require(DEALER, STEWARD)
    return write_tables(database, caller.club_id, target)


def export_tables_of(database: Database, slug: str, path: Path) -> dict[str, Any]:
    """The club with this short name, into a file. Raises NotFound; a file that is not complete is never left."""
    with database.read() as session:
        club_id = session.execute(select(Club.id).where(Club.slug == slug)).scalar_one_or_none()
    if club_id is None:
        raise NotFound(f"There is no club with the short name {slug}.")
    temporary = path.with_name(path.name + ".part")
    with temporary.open("wb") as target:
        about = write_tables(database, club_id, target)
    temporary.replace(path)
    return about
