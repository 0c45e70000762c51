"""Issuing a slip: what the club says of a stone, fixed with the evidence it rests on."""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from ..clock import Clock
from ..core import pooling
from ..core.care import care_advice
from ..core.readiness import PublishRules, Readiness, main_groups, readiness, stands_apart
from ..core.slip_words import Doubt, Height, doubt_words, height_words
from ..core.soundness import open_work
from ..core.soundness.work import latest_by_face
from ..core.standing import moved_grades
from ..errors import NotFound, NotReady
from ..storage.base import Database
from ..storage.record import wire_time
from ..storage.schema import (
    Blade,
    CheckStone,
    Club,
    Consent,
    Inspection,
    Lapping,
    Member,
    Protocol,
    Repair,
    Slip,
    Stone,
    Trial,
)
from .caller import DEALER, STEWARD, Caller
from .pool_desk import PoolDesk, Pooled
from .things import THINGS, WriteContext
from .wearing import last_trials, of_stones, worn_faces
from .writing import Written, put_record

_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Crockford's base 32: no letter that is easily misread for a digit."""

TOLD_TO_BUYERS = ("none", "watch", "soon")


def new_code() -> str:
    """A verification code of 50 random bits: short enough to type, too many to guess."""
    text = "".join(secrets.choice(_LETTERS) for _ in range(10))
    return f"{text[:5]}-{text[5:]}"


def _stone(session: Session, caller: Caller, stone_id: str) -> Stone:
    stone = session.get(Stone, (caller.club_id, stone_id))
    if stone is None or stone.withdrawn_at is not None:
        raise NotFound("There is no such stone in your club.")
    return stone


@dataclass(frozen=True)
class StoneStanding:
    """A stone's grades for a purpose, scale by scale, and what stands between it and a slip."""

    grades: list[dict[str, Any]]
    readiness: Readiness
    pooled: Pooled


def _standing(
    database: Database, pooled: Pooled, caller: Caller, stone_id: str, purpose: str
) -> StoneStanding:
    with database.read() as session:
        _stone(session, caller, stone_id)
        club = session.get_one(Club, (caller.club_id, caller.club_id))
        inspections = session.execute(
            select(Inspection).where(Inspection.club_id == caller.club_id, Inspection.stone_id == stone_id)
        ).scalars()
        repairs = session.execute(
            select(Repair).where(Repair.club_id == caller.club_id, Repair.stone_id == stone_id)
        ).scalars()
        work = open_work([row.body() for row in inspections], [row.body() for row in repairs])
        this = of_stones(caller.club_id, select(Stone.id).where(Stone.id == stone_id))
        trials = last_trials(session, this, purpose)
        worn = worn_faces(session, this, trials, club.confirm_depth_mm).get(stone_id, ())
    grades = []
    for scale in pooled.scales:
        for stone in scale["stones"]:
            if stone["stone_id"] == stone_id:
                head = {key: scale[key] for key in ("scale", "name", "low", "high", "step")}
                grades.append({**head, **stone})
    apart = stands_apart(grades, main_groups(pooled.scales))
    rules = PublishRules(**club.publish_rules)
    return StoneStanding(grades, readiness(grades, work, rules, apart, worn), pooled)


def stone_readiness(
    database: Database, desk: PoolDesk, caller: Caller, stone_id: str, purpose: str
) -> dict[str, Any]:
    """Whether a stone may be published for a purpose, and if not, why."""
    caller.require(DEALER, STEWARD)
    pooled = desk.pooled(caller.club_id, purpose, wait=True)
    standing = _standing(database, pooled, caller, stone_id, purpose)
    return {
        "purpose": purpose,
        "ready": standing.readiness.ready,
        "blocks": list(standing.readiness.blocks),
        "grades": [
            {key: value for key, value in one.items() if key != "stone_id"} for one in standing.grades
        ],
    }


def issue_slip(
    database: Database,
    desk: PoolDesk,
    clock: Clock,
    caller: Caller,
    slip_id: str,
    fields: dict[str, Any],
    *,
    recorded_at: datetime | None,
) -> Written:
    """Publish a stone's grades. Raises NotReady with what stands in the way, unless a reason overrides it.

    What can never be overridden: a stone nobody has tried has no grade to publish.
    """
    caller.require(DEALER, STEWARD)
    with database.read() as session:
        known = session.get(Slip, (caller.club_id, slip_id)) is not None
    if known:  # sent again: the first answer stands, however the grades have moved since
        return put_record(database, clock, caller, THINGS["slip"], slip_id, fields, recorded_at=recorded_at)
    pooled = desk.cold(caller.club_id, fields["purpose"])
    standing = _standing(database, pooled, caller, fields["stone_id"], fields["purpose"])
    if not any(grade["n_trials"] for grade in standing.grades):
        raise NotReady("Nobody has tried this stone for this purpose yet.", list(standing.readiness.blocks))
    if not standing.readiness.ready and not fields["override_reason"]:
        raise NotReady(
            "This stone is not ready. Mend what stands in the way, or publish with a reason.",
            list(standing.readiness.blocks),
        )

    def fix(context: WriteContext, row: Slip, _fields: dict[str, Any]) -> None:
        if context.row is None:
            _fix(context.session, caller, row, standing, context.now.date())

    return put_record(
        database, clock, caller, THINGS["slip"].with_derived(fix), slip_id, fields, recorded_at=recorded_at
    )


def _fix(session: Session, caller: Caller, row: Slip, standing: StoneStanding, today: date) -> None:
    stone = _stone(session, caller, row.stone_id)
    club = session.get_one(Club, (caller.club_id, caller.club_id))
    trials = (
        session.execute(
            select(Trial)
            .join(Protocol, (Protocol.club_id == Trial.club_id) & (Protocol.id == Trial.protocol_id))
            .where(
                Trial.club_id == caller.club_id,
                Trial.stone_id == row.stone_id,
                Protocol.purpose == row.purpose,
                Trial.withdrawn_at.is_(None),
                Trial.excluded_at.is_(None),
            )
            .order_by(Trial.finished_at)
        )
        .scalars()
        .all()
    )
    face = trials[-1].face
    inspections = [
        inspection.body()
        for inspection in session.execute(
            select(Inspection).where(
                Inspection.club_id == caller.club_id, Inspection.stone_id == row.stone_id
            )
        ).scalars()
    ]
    looked = latest_by_face(inspections).get((row.stone_id, face))
    named = session.execute(
        select(Blade.steel, Blade.steel_name).where(Blade.club_id == caller.club_id).order_by(Blade.id)
    )
    steel_names = {row.steel: row.steel_name for row in named}
    protocols = session.execute(
        select(Protocol)
        .where(
            Protocol.club_id == caller.club_id,
            Protocol.purpose == row.purpose,
            Protocol.withdrawn_at.is_(None),
        )
        .order_by(Protocol.revision)
    ).scalars()
    words = {scale["id"]: scale["words"] for protocol in protocols for scale in protocol.scales}
    tried = sorted({steel for _, steel in _steels(session, caller, trials)})
    mass, size = stone.mass_g, stone.length_mm * stone.width_mm * stone.thickness_mm
    row.code = new_code()
    row.issued_on = today
    row.club_name = club.name
    row.method_version = pooling.METHOD_VERSION
    row.pool_revision = standing.pooled.revision
    row.inputs_digests = {scale["scale"]: scale["inputs_digest"] for scale in standing.pooled.scales}
    row.stone = {
        **{key: getattr(stone, key) for key in (
            "code", "kind", "form", "length_mm", "width_mm", "mass_g", "colour", "sides_sealed", "marks",
        )},
        "thickness_mm": _thickness(session, caller, stone, trials),
        "density_g_cm3": None if mass is None else 1000 * mass / size,
        "face": face,
    }  # fmt: skip
    row.grades = [_grade(grade, words.get(grade["scale"], {}), steel_names) for grade in standing.grades]
    row.evidence = {
        "n_trials": len(trials),
        "n_testers": len({trial.created_by for trial in trials}),
        "n_steels": len(tried),
        "steels": [steel_names.get(steel, steel) for steel in tried],
        "level_note": height_words(_heights(session, caller, row.purpose, standing)),
        "signs_note": doubt_words(_doubts(row.stone_id, standing)),
        "inspected": None if looked is None else {"at": looked["inspected_at"]},
        "tester_ids": sorted({trial.created_by for trial in trials if trial.created_by is not None}),
    }
    answers = _answers(session, caller, looked)
    row.findings = _findings(row, looked, answers)
    row.care = list(
        care_advice(
            stone.own_fields(),
            water_uptake_s=looked["water_uptake_s"] if looked else None,
            verdicts=[
                verdict
                for verdict in (looked["verdicts"] if looked else [])
                if (verdict["finding_id"], verdict["rule_id"]) not in answers
            ],
        )
    )


def _heights(session: Session, caller: Caller, purpose: str, standing: StoneStanding) -> list[Height]:
    """What holds the height of each scale on the slip."""
    agreed = [
        check.grades
        for check in session.execute(
            select(CheckStone).where(
                CheckStone.club_id == caller.club_id,
                CheckStone.purpose == purpose,
                CheckStone.withdrawn_at.is_(None),
            )
        ).scalars()
    ]
    printed = {grade["scale"] for grade in standing.grades}
    return [
        Height(scale["name"], sum(scale["scale"] in grades for grades in agreed), scale["level_sd"])
        for scale in standing.pooled.scales
        if scale["scale"] in printed
    ]


def _doubts(stone_id: str, standing: StoneStanding) -> list[Doubt]:
    """The scales on which what was noted of the stone contradicts its grade."""
    grades = {grade["scale"]: grade["grade"] for grade in standing.grades}
    return [
        Doubt(scale["name"], grades[scale["scale"]], check["foretold"], check["leading"], scale["step"])
        for scale in standing.pooled.scales
        for check in scale["signs"]["checks"]
        if check["stone_id"] == stone_id and scale["scale"] in grades
    ]


Answers = dict[tuple[str | None, str], Repair]


def _answers(session: Session, caller: Caller, looked: Mapping[str, Any] | None) -> Answers:
    """What was done about the verdicts of an inspection, by finding and rule; of two answers the later one counts."""
    if looked is None:
        return {}
    repairs = session.execute(
        select(Repair)
        .where(
            Repair.club_id == caller.club_id,
            Repair.inspection_id == looked["id"],
            Repair.withdrawn_at.is_(None),
        )
        .order_by(Repair.done_at, Repair.id)
    ).scalars()
    return {(repair.finding_id, repair.rule_id): repair for repair in repairs}


def _findings(row: Slip, looked: Mapping[str, Any] | None, answers: Answers) -> list[dict[str, Any]]:
    """What the last inspection of the graded face says that an owner should know, and what has been done about it.

    What the dealer has found not to need work is left out; what was mended says so, and that nobody has looked since.
    """
    told = []
    for verdict in looked["verdicts"] if looked else []:
        answer = answers.get((verdict["finding_id"], verdict["rule_id"]))
        if answer is not None and answer.outcome == "not_needed":
            continue
        if verdict["urgency"] in TOLD_TO_BUYERS or row.override_reason:
            one = {key: verdict[key] for key in ("verdict", "urgency", "because")}
            if answer is not None:
                one["because"] += " Done since then; the face has not been inspected again."
            told.append(one)
    return told


def _steels(session: Session, caller: Caller, trials: Any) -> list[tuple[str, str]]:
    blades = {
        blade.id: blade.steel
        for blade in session.execute(select(Blade).where(Blade.club_id == caller.club_id)).scalars()
    }
    return [(trial.id, blades[trial.blade_id]) for trial in trials]


def _thickness(session: Session, caller: Caller, stone: Stone, trials: Any) -> float:
    """The thickness at which the stone was graded: the last one noted by a trial, a lapping, or at intake."""
    noted = [(trial.finished_at, trial.thickness_mm) for trial in trials if trial.thickness_mm is not None]
    for lapping in session.execute(
        select(Lapping).where(
            Lapping.club_id == caller.club_id, Lapping.stone_id == stone.id, Lapping.withdrawn_at.is_(None)
        )
    ).scalars():
        if lapping.thickness_after_mm is not None and (
            not trials or lapping.lapped_at <= trials[-1].finished_at
        ):
            noted.append((lapping.lapped_at, lapping.thickness_after_mm))
    return max(noted)[1] if noted else stone.thickness_mm


def _grade(grade: dict[str, Any], words: dict[str, str], steel_names: dict[str, str]) -> dict[str, Any]:
    nearest = min(words, key=lambda level: abs(float(level) - grade["grade"]), default=None)
    return {
        **{key: grade[key] for key in ("scale", "name", "low", "high", "step", "grade", "low90", "high90", "at_end")},
        "words": words[nearest] if nearest is not None else None,
        "by_steel": [
            {
                "steel_name": steel_names.get(cell["steel"], cell["steel"]),
                **{key: cell[key] for key in ("steel", "grade", "low90", "high90", "n_trials")},
            }
            for cell in grade["by_steel"]
        ],
    }  # fmt: skip


def published(database: Database, code: str) -> dict[str, Any]:
    """A slip for whoever holds its code: no account, no member's id, and only the names of those who agree now.

    Raises NotFound.
    """
    with database.read() as session:
        row = session.execute(select(Slip).where(Slip.code == code.strip().upper())).scalar_one_or_none()
        if row is None:
            raise NotFound("There is no slip with this code. Check it letter by letter.")
        club = session.get_one(Club, (row.club_id, row.club_id))
        body = row.body()
        testers = _named(session, row)
    withdrawn = None
    if row.withdrawn_at is not None:
        withdrawn = {"at": wire_time(row.withdrawn_at), "reason": row.withdrawn_reason}
    shown = ("code", "issued_on", "purpose", "club_name", "stone", "grades", "evidence", "findings", "care",
             "override_reason", "method_version", "inputs_digests")  # fmt: skip
    return {
        **{key: body[key] for key in shown},
        "evidence": {key: value for key, value in body["evidence"].items() if key in EVIDENCE_SHOWN},
        "testers": testers,
        "withdrawn": withdrawn,
        "invented": club.invented,
    }


EVIDENCE_SHOWN = (
    "n_trials", "n_testers", "n_steels", "steels", "level_note", "signs_note", "inspected"
)  # fmt: skip
"""Of the evidence; who the testers were stays in the club."""


def _named(session: Session, slip: Slip) -> list[str]:
    """The names of those whose trials the slip rests on and who agree at this moment to be named.

    Whoever takes the consent back is gone from the page with the next look at it. A member who has left could not take
    it back, and is not named either. A slip from before testers were noted names nobody.
    """
    ids = slip.evidence.get("tester_ids", [])
    return sorted(
        session.execute(
            select(Member.display_name)
            .join(Consent, (Consent.club_id == Member.club_id) & (Consent.id == Member.id))
            .where(
                Member.club_id == slip.club_id,
                Member.id.in_(ids),
                Member.active,
                Member.withdrawn_at.is_(None),
                Consent.names_on_slips,
                Consent.withdrawn_at.is_(None),
            )
        ).scalars()
    )


def slips_to_reissue(database: Database, desk: PoolDesk, caller: Caller) -> list[dict[str, Any]]:
    """Slips whose grades later evidence has moved by a step (half a grade on the scale by halves) or more."""
    caller.require(DEALER, STEWARD)
    with database.read() as session:
        slips = (
            session.execute(
                select(Slip)
                .where(Slip.club_id == caller.club_id, Slip.withdrawn_at.is_(None))
                .order_by(Slip.id)
            )
            .scalars()
            .all()
        )
    latest = {(slip.stone_id, slip.purpose): slip for slip in slips}
    now: dict[str, dict[str, dict[str, float]]] = {}
    for purpose in {slip.purpose for slip in latest.values()}:
        of_purpose = now.setdefault(purpose, {})
        for scale in desk.pooled(caller.club_id, purpose).scales:
            for stone in scale["stones"]:
                of_purpose.setdefault(stone["stone_id"], {})[scale["scale"]] = stone["grade"]
    moved: list[dict[str, Any]] = []
    for (stone_id, purpose), slip in sorted(latest.items()):
        moved += [
            {
                "slip_id": slip.id, "stone_id": stone_id, "purpose": purpose, "scale": grade.scale,
                "published": grade.published, "now": grade.now,
            }
            for grade in moved_grades(slip.grades, now[purpose].get(stone_id, {}))
        ]  # fmt: skip
    return moved
