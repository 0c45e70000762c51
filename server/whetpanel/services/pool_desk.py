"""Keeps pooled results, makes each once, and never lets a reader wait long for a new one.

A result belongs to the revision of the last record it rests on. When a newer record has come in, the next reader
starts the fit in the background and waits a moment; if it takes longer than that, the reader is given the last
result, marked as behind, and finds the new one at the next look. Nothing here holds a lock of the database while it
computes, so a fit never keeps a trial from coming in.
"""

import threading
from collections.abc import Callable
from concurrent import futures
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from ..clock import Clock
from ..core import pooling
from ..storage.base import Database
from ..storage.schema import PoolResult
from .pool_inputs import Inputs, gather, pool_revision
from .pool_scale import PooledScale, pool_scale

WAIT_S = 2.0
"""How long a reader waits for a fresh result when an older one is at hand."""

Key = tuple[str, str]


@dataclass(frozen=True)
class Pooled:
    """The pooled grades of a club for a purpose, at a revision; ``behind``: newer records are being pooled."""

    revision: int
    computed_at: datetime
    scales: list[dict[str, Any]]
    behind: bool


@dataclass(frozen=True)
class Readings:
    """What is kept of one stone on one scale (``pool_scale._readings``): empty where it has no evidence."""

    stone: dict[str, Any]
    steels: dict[str, float]


KEPT_AS = 2
"""Rises when what is kept of a fit changes its shape; results kept by an earlier code are then made anew."""


@dataclass(frozen=True)
class _Whole:
    """Whole results, and what they are the answer to: club, purpose, revision, stones."""

    asked: tuple[str, str, int, list[str]]
    results: dict[str, pooling.PoolResult]


class PoolDesk:
    """One for each process. Fits run one after another beside the requests; what they made is shared by the table."""

    def __init__(
        self,
        database: Database,
        clock: Clock,
        wait_s: float = WAIT_S,
        pool: Callable[[Inputs, pooling.WarmState | None], PooledScale] = pool_scale,
    ) -> None:
        self._database, self._clock, self._wait_s, self._pool = database, clock, wait_s, pool
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="pooling")
        self._running: dict[tuple[str, str, int], Future[None]] = {}
        self._guard = threading.Lock()
        self._warm: dict[tuple[str, str, str], pooling.WarmState] = {}
        self._gathered: tuple[Key, int, list[Inputs]] | None = None
        self._whole: _Whole | None = None

    def pooled(self, club_id: str, purpose: str, *, wait: bool = False) -> Pooled:
        """The newest result there is, made first if there is none; with ``wait``, however long it takes."""
        with self._database.read() as session:
            revision = pool_revision(session, club_id)
            kept = _kept(session, club_id, purpose)
        if kept is not None and kept.revision >= revision:
            return kept
        future = self._start(club_id, purpose, revision)
        futures.wait([future], timeout=self._wait_s if kept is not None and not wait else None)
        if future.done():
            future.result()  # a fit that failed is a mistake of ours and is told as one
        with self._database.read() as session:
            newest = _kept(session, club_id, purpose)
        if newest is None:
            raise RuntimeError("a pooled result vanished while it was kept")
        behind = newest.revision < revision
        return Pooled(newest.revision, newest.computed_at, newest.scales, behind)

    def readings(self, club_id: str, purpose: str, stone_id: str) -> dict[str, Readings]:
        """One stone's readings by scale, from the result that ``pooled`` gave just now. No fit is made for them."""
        of_stone = PoolResult.readings["stones"][stone_id]
        with self._database.read() as session:
            rows = session.execute(
                _newest(club_id, purpose, PoolResult.scale, of_stone, PoolResult.readings["steels"])
            ).all()
        return {scale: Readings(stone or {}, steels or {}) for scale, stone, steels in rows}

    def drifts(self, club_id: str, purpose: str) -> dict[str, dict[str, Any]]:
        """Every tester's drift by scale, from the result that ``pooled`` would give."""
        self.pooled(club_id, purpose)
        with self._database.read() as session:
            rows = session.execute(_newest(club_id, purpose, PoolResult.scale, PoolResult.drifts))
            return {row.scale: row.drifts for row in rows}

    def posteriors(self, club_id: str, purpose: str) -> dict[str, dict[str, Any]]:
        """Every stone's law by scale (``pool_scale._posteriors``), from the result that ``pooled`` gave just now."""
        with self._database.read() as session:
            rows = session.execute(_newest(club_id, purpose, PoolResult.scale, PoolResult.posteriors))
            return {row.scale: row.posteriors for row in rows}

    def cold(self, club_id: str, purpose: str) -> Pooled:
        """The pooled grades fitted from nothing but the records, kept nowhere.

        A fit that starts from the last one agrees with this within the tolerance only; what is published must come
        out the same for whoever pools the same records again.
        """
        with self._database.read() as session:
            revision = pool_revision(session, club_id)
            inputs = gather(session, club_id, purpose)
        scales = [self._pool(one, None).result for one in inputs]
        return Pooled(revision, self._clock(), scales, behind=False)

    def results(self, club_id: str, purpose: str, stones: list[str]) -> dict[str, pooling.PoolResult]:
        """The engine's own results by scale, untried stones included; made anew from where the last fit stood.

        A plan needs the whole posterior, which is too large to keep in a table. A plan that is changed line by line
        asks for the same again and again, so the last answer stays in this process as long as no record has come in.
        """
        with self._database.read() as session:
            revision = pool_revision(session, club_id)
            whole = self._whole
            if whole is not None and whole.asked == (club_id, purpose, revision, stones):
                return whole.results
            inputs = gather(session, club_id, purpose)
        made = {
            one.scale["id"]: pool_scale(one, self.warm_of(club_id, purpose, one.scale["id"]), stones=stones)
            for one in inputs
        }
        results = {scale: one.pool for scale, one in made.items() if one.pool is not None}
        self._whole = _Whole((club_id, purpose, revision, stones), results)
        return results

    def inputs(
        self, club_id: str, purpose: str, excluded: frozenset[str], included: frozenset[str]
    ) -> list[Inputs]:
        """What a fit would be made from, with some trials more or less.

        A dealer tries one trial after another on a club that stands still; what the last fit was made from is kept for
        that, of one club, since reading a large one takes longer than fitting it.
        """
        with self._database.read() as session:
            revision = pool_revision(session, club_id)
            kept = self._gathered
            if kept is None or kept[:2] != ((club_id, purpose), revision) or included:
                return gather(session, club_id, purpose, excluded, included)
        if any(one.n_off_scale for one in kept[2]):  # which ones these are is not kept
            with self._database.read() as session:
                return gather(session, club_id, purpose, excluded)
        return [one.without(excluded) for one in kept[2]]

    def warm_of(self, club_id: str, purpose: str, scale: str) -> pooling.WarmState | None:
        """The inner state of the last fit in this process, to start the next one from."""
        return self._warm.get((club_id, purpose, scale))

    def _start(self, club_id: str, purpose: str, revision: int) -> "Future[None]":
        key = (club_id, purpose, revision)
        with self._guard:
            running = self._running.get(key)
            if running is None:
                running = self._worker.submit(self._make, club_id, purpose)
                self._running[key] = running
                running.add_done_callback(self._forget(key))
        return running

    def _forget(self, key: tuple[str, str, int]) -> Callable[["Future[None]"], None]:
        def forget(_future: "Future[None]") -> None:
            with self._guard:
                self._running.pop(key, None)

        return forget

    def _make(self, club_id: str, purpose: str) -> None:
        with self._database.read() as session:
            # Read in this order: a record that comes in between makes the result newer than it says, never older.
            revision = pool_revision(session, club_id)
            inputs = gather(session, club_id, purpose)
        self._gathered = ((club_id, purpose), revision, inputs)
        made = [self._pool(one, self.warm_of(club_id, purpose, one.scale["id"])) for one in inputs]
        for one in made:
            if one.pool is not None:
                self._warm[club_id, purpose, one.inputs.scale["id"]] = one.pool.warm
        self._keep(club_id, purpose, revision, made)

    def _keep(self, club_id: str, purpose: str, revision: int, made: list[PooledScale]) -> None:
        at = self._clock()
        # Worked out before the database is locked for writing: a trial that comes in does not wait for it.
        rows = [
            PoolResult(
                club_id=club_id, purpose=purpose, scale=one.result["scale"], revision=revision,
                method_version=pooling.METHOD_VERSION, computed_at=at,
                result={**one.result, "kept_as": KEPT_AS},
                readings=one.readings, drifts=one.drifts, posteriors=one.posteriors,
            )
            for one in made
        ]  # fmt: skip
        with self._database.write() as session:
            kept = _kept(session, club_id, purpose)
            if kept is not None and kept.revision >= revision:
                return  # another process has pooled this state, or a later one, already
            session.execute(
                delete(PoolResult).where(PoolResult.club_id == club_id, PoolResult.purpose == purpose)
            )
            session.add_all(rows)

    def close(self) -> None:
        """Let the fit that runs end; start none after it."""
        self._worker.shutdown(wait=True, cancel_futures=True)


def _newest(club_id: str, purpose: str, *columns: Any) -> Any:
    newest = (
        select(func.max(PoolResult.revision))
        .where(
            PoolResult.club_id == club_id,
            PoolResult.purpose == purpose,
            PoolResult.method_version == pooling.METHOD_VERSION,
        )
        .scalar_subquery()
    )
    return (
        select(*columns)
        .where(
            PoolResult.club_id == club_id,
            PoolResult.purpose == purpose,
            PoolResult.method_version == pooling.METHOD_VERSION,
            PoolResult.revision == newest,
        )
        .order_by(PoolResult.scale)
    )


def _kept(session: Session, club_id: str, purpose: str) -> Pooled | None:
    # The readings are many times larger than the rest and stay where they are.
    rows = session.execute(
        _newest(club_id, purpose, PoolResult.revision, PoolResult.computed_at, PoolResult.result)
    ).all()
    if not rows or any(row.result.pop("kept_as", 1) != KEPT_AS for row in rows):
        return None
    return Pooled(rows[0].revision, rows[0].computed_at, [row.result for row in rows], behind=False)
