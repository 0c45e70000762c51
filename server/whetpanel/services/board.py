"""The lot board: where every stone of the club stands for a purpose.

Thousands of stones are told at once, so each kind of record is read in one go and only in the columns that count;
nothing here asks the database about a single stone.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from ..clock import Clock
from ..core.depth import FaceGone
from ..core.readiness import PublishRules, main_groups, readiness, stands_apart
from ..core.soundness import open_work
from ..core.soundness.work import WorkItem, latest_by_face, put_aside
from ..core.standing import STATES, Standing, StandingSlip, StoneFacts, moved_grades, standing
from ..storage.base import Database
from ..storage.schema import Assignment, Club, Inspection, Offer, Repair, Slip, Stone
from .asking import holders_now, open_assignments
from .caller import DEALER, STEWARD, Caller
from .pool_desk import PoolDesk, Pooled
from .wearing import LastTrials, by_stone, last_trials, of_stones, worn_faces

SOLD, KEPT_BACK = "sold", "kept_back"


@dataclass(frozen=True)
class _Records:
    """Everything the board rests on besides the pooled grades; all by stone id."""

    rules: PublishRules
    stones: dict[str, frozenset[str]]
    """Each stone's marked faces."""
    work: dict[str, list[WorkItem]]
    put_aside: dict[str, list[WorkItem]]
    inspected: dict[str, set[str]]
    trials: LastTrials
    worn: dict[str, tuple[FaceGone, ...]]
    slips: dict[str, tuple[str, list[dict[str, Any]]]]
    """The latest slip's id and its grades."""
    offers: dict[str, tuple[str, str]]
    """State and notes."""
    asked: dict[str, list[Assignment]]
    holders: dict[str, str]


def board(
    database: Database, desk: PoolDesk, clock: Clock, caller: Caller, purpose: str, lot_id: str | None
) -> dict[str, Any]:
    """Every stone's state with what stands in its way, and how many stones are in each state.

    Sold stones are listed, and counted apart: they ask for nothing any more.
    """
    caller.require(DEALER, STEWARD)
    pooled = desk.pooled(caller.club_id, purpose)
    with database.read() as session:
        records = _look(session, caller.club_id, purpose, lot_id)
    grades = _grades(pooled)
    main = main_groups(pooled.scales)
    today = clock().date()
    rows = [_row(stone_id, records, grades.get(stone_id, ()), main, today) for stone_id in records.stones]
    unsold = [row for row in rows if row["offer_state"] != SOLD]
    counts = Counter(row["state"] for row in unsold)
    return {
        "purpose": purpose,
        "revision": pooled.revision,
        "behind": pooled.behind,
        "counts": {state: counts[state] for state in STATES},
        "n_sold": len(rows) - len(unsold),
        "n_to_reissue": sum(row["moved"] for row in unsold),
        "n_asked": sum(row["n_asked"] for row in unsold),
        "n_overdue": sum(row["n_overdue"] for row in unsold),
        "stones": rows,
    }


def _row(
    stone_id: str, records: _Records, grades: Sequence[dict[str, Any]], main: dict[str, int], today: date
) -> dict[str, Any]:
    facts = _facts(stone_id, records, grades, main)
    stands: Standing = standing(facts)
    asked = records.asked.get(stone_id, ())
    slip = records.slips.get(stone_id)
    return {
        "stone_id": stone_id,
        "state": stands.state,
        "blocks": list(stands.blocks),
        "remarks": list(stands.remarks),
        "n_trials": max((grade["n_trials"] for grade in grades), default=0),
        "n_testers": max((grade["n_testers"] for grade in grades), default=0),
        "n_open_work": len(facts.work),
        "n_asked": len(asked),
        "n_overdue": sum(one.due_on is not None and one.due_on < today for one in asked),
        "holder_id": records.holders.get(stone_id),
        "slip_id": None if slip is None else slip[0],
        "moved": facts.slip is not None and bool(facts.slip.moved),
        "offer_state": records.offers.get(stone_id, (None, ""))[0],
    }


def _facts(
    stone_id: str, records: _Records, grades: Sequence[dict[str, Any]], main: dict[str, int]
) -> StoneFacts:
    trials = records.trials.get(stone_id, ())
    slip = records.slips.get(stone_id)
    offer_state, notes = records.offers.get(stone_id, (None, ""))
    standing_slip = None
    if slip is not None:
        now = {grade["scale"]: grade["grade"] for grade in grades}
        standing_slip = StandingSlip(moved_grades(slip[1], now))
    return StoneFacts(
        readiness=readiness(grades, (), records.rules, stands_apart(grades, main)),
        work=records.work.get(stone_id, ()),
        put_aside=records.put_aside.get(stone_id, ()),
        inspected=frozenset(records.inspected.get(stone_id, ())),
        marked=records.stones[stone_id],
        tried=frozenset(face for face, _, _ in trials),
        to_confirm=records.worn.get(stone_id, ()),
        slip=standing_slip,
        kept_back=notes if offer_state == KEPT_BACK else None,
    )


def _grades(pooled: Pooled) -> dict[str, list[dict[str, Any]]]:
    """Stone → its grade on each scale of the purpose, with the scale's id and name."""
    found: dict[str, list[dict[str, Any]]] = {}
    for scale in pooled.scales:
        head = {"scale": scale["scale"], "name": scale["name"]}
        for stone in scale["stones"]:
            found.setdefault(stone["stone_id"], []).append({**stone, **head})
    return found


def _look(session: Session, club_id: str, purpose: str, lot_id: str | None) -> _Records:
    club = session.get_one(Club, (club_id, club_id))
    here = select(Stone.id).where(Stone.club_id == club_id, Stone.withdrawn_at.is_(None))
    if lot_id is not None:
        here = here.where(Stone.lot_id == lot_id)
    rows_of = of_stones(club_id, None if lot_id is None else here)
    stones = session.execute(here.add_columns(Stone.marks).order_by(Stone.code, Stone.id)).all()
    looked = session.execute(
        rows_of(
            Inspection, Inspection.id, Inspection.stone_id, Inspection.face, Inspection.inspected_at,
            Inspection.verdicts,
        )
    ).all()  # fmt: skip
    inspections = [{**row._mapping, "withdrawn": None} for row in looked]
    repairs = [
        {**row._mapping, "withdrawn": None}
        for row in session.execute(
            rows_of(
                Repair, Repair.id, Repair.inspection_id, Repair.finding_id, Repair.rule_id, Repair.outcome,
                Repair.done_at,
            )
        )
    ]  # fmt: skip
    inspected: dict[str, set[str]] = {}
    for stone_id, face in latest_by_face(inspections):
        inspected.setdefault(stone_id, set()).add(face)
    slips = session.execute(
        rows_of(Slip, Slip.stone_id, Slip.id, Slip.grades).where(Slip.purpose == purpose).order_by(Slip.id)
    ).all()
    offers = session.execute(rows_of(Offer, Offer.stone_id, Offer.state, Offer.notes)).all()
    trials = last_trials(session, rows_of, purpose)
    return _Records(
        rules=PublishRules(**club.publish_rules),
        stones={stone_id: frozenset(mark["face"] for mark in marks) for stone_id, marks in stones},
        work=by_stone((item.stone_id, item) for item in open_work(inspections, repairs)),
        put_aside=by_stone((item.stone_id, item) for item in put_aside(inspections, repairs)),
        inspected=inspected,
        trials=trials,
        worn=worn_faces(session, rows_of, trials, club.confirm_depth_mm),
        slips={row.stone_id: (row.id, row.grades) for row in slips},
        offers={row.stone_id: (row.state, row.notes) for row in offers},
        asked=by_stone((one.stone_id, one) for one in open_assignments(session, club_id, purpose)),
        holders=holders_now(session, club_id),
    )
