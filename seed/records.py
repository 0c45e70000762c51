"""The scenario as the API's records: plain dictionaries, ready to be put, each with its id."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from .faces import Photo
from .ids import demo_id
from .inspections import Look
from .scenario import FOUNDED, LOTS, MADE_UP, Blade, Lot, Person
from .stones import CHECK_STONES, Stone
from .trials import SCALES, Trial

CHECK_SD = 0.15


def stamp(at: datetime) -> str:
    return at.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")


def noon(day: date) -> datetime:
    return datetime.combine(day, time(12, 0), tzinfo=UTC)


def received(stone: Stone) -> date:
    return next(lot.received_on for lot in LOTS if lot.code == stone.lot)


@dataclass(frozen=True)
class Ids:
    """Every id of the demo club, from the club's slug and the record's key alone."""

    club: str

    def member(self, person: Person) -> str:
        return demo_id(self.club, "member", person.key, FOUNDED)

    def lot(self, lot: Lot) -> str:
        return demo_id(self.club, "lot", lot.code, noon(lot.received_on))

    def stone(self, stone: Stone) -> str:
        return demo_id(self.club, "stone", stone.code, noon(received(stone)))

    def blade(self, blade: Blade) -> str:
        return demo_id(self.club, "blade", blade.key, FOUNDED)

    def check_stone(self, stone: Stone) -> str:
        return demo_id(self.club, "check_stone", stone.code, noon(agreed_on(stone)))

    def inspection(self, look: Look) -> str:
        return demo_id(self.club, "inspection", look.key, look.at)

    def finding(self, look: Look, n: int) -> str:
        return demo_id(self.club, "finding", f"{look.key}/{n}", look.at)

    def trial(self, trial: Trial) -> str:
        return demo_id(self.club, "trial", trial.key, trial.started_at)


def member_record(person: Person) -> dict[str, Any]:
    return {
        "display_name": person.display_name,
        "sign_in_name": person.key,
        "roles": list(person.roles),
        "active": True,
        "password": person.password,
    }


def lot_record(lot: Lot) -> dict[str, Any]:
    return {
        "code": lot.code,
        "name": lot.name,
        "quarry": lot.quarry,
        "received_on": lot.received_on.isoformat(),
        "notes": f"{lot.notes} {MADE_UP}",
    }


def blade_record(blade: Blade) -> dict[str, Any]:
    return {
        "name": blade.name,
        "steel": blade.steel,
        "steel_name": blade.steel_name,
        "steel_class": blade.steel_class,
        "construction": blade.construction,
        "hardness_hrc": blade.hardness_hrc,
        "form": blade.form,
        "notes": blade.notes,
    }


def stone_record(stone: Stone, ids: Ids, lots: Mapping[str, Lot], photos: Iterable[Photo]) -> dict[str, Any]:
    return {
        "code": stone.code,
        "lot_id": ids.lot(lots[stone.lot]),
        "kind": stone.kind,
        "form": stone.form,
        "length_mm": stone.length_mm,
        "width_mm": stone.width_mm,
        "thickness_mm": stone.thickness_mm,
        "mass_g": stone.mass_g,
        "colour": stone.colour,
        "marks": [{"face": m.face, "kind": m.kind, "notes": m.notes} for m in stone.marks],
        "sides_sealed": stone.sides_sealed,
        "photos": [photo.as_record() for photo in photos],
        "notes": stone.notes,
    }


def agreed_on(stone: Stone) -> date:
    return received(stone) + timedelta(days=28)


def check_stone_record(stone: Stone, ids: Ids) -> dict[str, Any]:
    """The agreed grade: the truth the trials are drawn from, since the steel effects add up to nothing."""
    agreed = (stone.hardness, stone.fineness, stone.ease)
    return {
        "stone_id": ids.stone(stone),
        "purpose": CHECK_STONES[stone.code],
        "grades": {scale: {"grade": g, "sd": CHECK_SD} for scale, g in zip(SCALES, agreed, strict=True)},
        "agreed_on": agreed_on(stone).isoformat(),
        "notes": f"Agreed round the table by five members. {MADE_UP}",
    }


def inspection_record(look: Look, ids: Ids, photos: Iterable[Photo]) -> dict[str, Any]:
    flatness = None
    if look.flatness_method:
        readings = [{"x_mm": x, "y_mm": y, "height_um": h} for x, y, h in look.readings]
        flatness = {"method": look.flatness_method, "readings": readings}
    return {
        "stone_id": ids.stone(look.stone),
        "face": look.face,
        "thickness_mm": look.thickness_mm,
        "inspected_at": stamp(look.at),
        "recorded_at": stamp(look.at),
        "water_uptake_s": look.water_uptake_s,
        "drop_state": look.drop_state,
        "dry_mass_g": look.dry_mass_g,
        "wet_mass_g": look.wet_mass_g,
        "tap_tone": look.tap_tone,
        "sides_sealed": look.sides_sealed,
        "flatness": flatness,
        "findings": [f.as_record(ids.finding(look, n)) for n, f in enumerate(look.findings)],
        "photos": [photo.as_record() for photo in photos],
        "notes": look.notes,
    }


def trial_record(
    trial: Trial, ids: Ids, protocol: Mapping[str, Any], photos: Iterable[Photo]
) -> dict[str, Any]:
    """A trial by the protocol as served. Only what that protocol asks for is sent, in its own answers."""
    asked = {o["id"]: o for o in protocol["observations"]}
    graded = {s["id"] for s in protocol["scales"]}
    return {
        "stone_id": ids.stone(trial.stone),
        "blade_id": ids.blade(trial.blade),
        "protocol_id": protocol["id"],
        "protocol_version": protocol["version"],
        "face": trial.stone.working_face,
        "thickness_mm": trial.thickness_mm,
        "started_at": stamp(trial.started_at),
        "finished_at": stamp(trial.finished_at),
        "recorded_at": stamp(trial.finished_at),
        "observations": {k: answer(asked[k], v) for k, v in trial.observations.items() if k in asked},
        "grades": {scale: grade for scale, grade in trial.grades.items() if scale in graded},
        "photos": [photo.as_record() for photo in photos],
        "notes": trial.notes,
    }


def answer(observation: Mapping[str, Any], value: Any) -> Any:
    """A choice is answered with the protocol's own value, whether it writes its levels 1 or "1"."""
    for choice in observation.get("choices") or ():
        if str(choice["value"]) == str(value):
            return choice["value"]
    return value
