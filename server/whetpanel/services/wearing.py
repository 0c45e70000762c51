"""How far the faces of stones have gone down since they were last tried, for many stones in one look."""

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Any

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from ..core.depth import FaceGone, faces_to_confirm, history_from
from ..storage.schema import Inspection, Lapping, Protocol, Trial

Narrow = Callable[..., Select[Any]]
"""``narrow(model, *columns)``: the valid records of some stones, as a query that can be narrowed further."""

LastTrials = dict[str, list[tuple[str, datetime, float | None]]]
"""Stone → face, when, thickness (mm): of each face the last trial that counts, and the last that noted a thickness."""


def of_stones(club_id: str, stones: Select[Any] | None) -> Narrow:
    """The records of these stones; None: of all."""

    def narrow(model: Any, *columns: Any) -> Select[Any]:
        some = () if stones is None else (model.stone_id.in_(stones),)
        return select(*columns).where(model.club_id == club_id, model.withdrawn_at.is_(None), *some)

    return narrow


def last_trials(session: Session, narrow: Narrow, purpose: str) -> LastTrials:
    """The trials by which a face's depth is reckoned, for a purpose; those left out of the pooling confirm nothing."""
    of_face = (Trial.stone_id, Trial.face)
    latest = (Trial.finished_at.desc(), Trial.id.desc())
    ranked = (
        narrow(
            Trial, Trial.stone_id, Trial.face, Trial.finished_at, Trial.thickness_mm,
            func.row_number().over(partition_by=of_face, order_by=latest).label("place"),
            func.row_number()
            .over(partition_by=(*of_face, Trial.thickness_mm.is_(None)), order_by=latest)
            .label("measured_place"),
        )
        .join(Protocol, (Protocol.club_id == Trial.club_id) & (Protocol.id == Trial.protocol_id))
        .where(Protocol.purpose == purpose, Trial.excluded_at.is_(None))
        .subquery()
    )  # fmt: skip
    columns = ranked.c
    rows = session.execute(
        select(columns.stone_id, columns.face, columns.finished_at, columns.thickness_mm).where(
            (columns.place == 1) | ((columns.measured_place == 1) & columns.thickness_mm.is_not(None))
        )
    ).all()
    return by_stone((stone_id, (face, at, mm)) for stone_id, face, at, mm in rows)


def worn_faces(
    session: Session, narrow: Narrow, trials: LastTrials, confirm_depth_mm: float
) -> dict[str, tuple[FaceGone, ...]]:
    """Stone → its faces that ask for a confirming trial, by the club's depth. Others are not listed."""
    looked = session.execute(
        narrow(Inspection, Inspection.stone_id, Inspection.inspected_at, Inspection.thickness_mm).where(
            Inspection.thickness_mm.is_not(None)
        )
    ).all()
    logged = session.execute(
        narrow(
            Lapping, Lapping.stone_id, Lapping.face, Lapping.lapped_at, Lapping.removed_um,
            Lapping.thickness_after_mm,
        )
    ).all()  # fmt: skip
    measured = by_stone((row[0], tuple(row[1:])) for row in looked)
    lapped = by_stone((row[0], tuple(row[1:])) for row in logged)
    worn = {}
    for stone_id, some in trials.items():
        if len(some) == 1 and stone_id not in measured and stone_id not in lapped:
            continue  # nothing has been noted since
        history = history_from(some, measured.get(stone_id, ()), lapped.get(stone_id, ()))
        gone = faces_to_confirm(history, confirm_depth_mm)
        if gone:
            worn[stone_id] = gone
    return worn


def by_stone(pairs: Iterable[tuple[str, Any]]) -> dict[str, list[Any]]:
    """The second of each pair, gathered by the first."""
    found: dict[str, list[Any]] = {}
    for stone_id, one in pairs:
        found.setdefault(stone_id, []).append(one)
    return found
