"""Labels for stones that are here: read from the records, laid out by documents."""

from typing import Any

from sqlalchemy import select

from ..documents import LabelLayout, Paper, Renderer, label_sheet_pdf, layouts_for
from ..errors import FieldError, Invalid
from ..storage.base import Database
from ..storage.schema import Club, Lot, Stone
from .caller import DEALER, STEWARD, Caller

MOST_LABELS = 500
"""At once: some twenty sheets, about a hundredth of a second each label."""

_FORM_WORDS = {
    "bench": "bench stone",
    "hand": "hand stone",
    "finger": "finger stone",
    "irregular": "irregular",
}
_STONES_A_QUERY = 200
_FAULTS_TOLD = 20


def print_labels(
    database: Database,
    renderer: Renderer,
    caller: Caller,
    stone_ids: list[str],
    *,
    paper: str,
    layout: str | None,
    skip: int,
    base_url: str,
) -> bytes:
    """A PDF with a label for each stone, in the order asked for; a stone named twice gets two.

    ``layout`` names a kind of sheet (the paper's first if None), ``skip`` counts the places of the first sheet
    that are used already. Each code leads to the stone's page below ``base_url``. Raises Invalid, naming each
    stone that is not here or was withdrawn, or a place that the sheet does not have.
    """
    caller.require(DEALER, STEWARD)
    chosen = _layout(Paper.named(paper), layout)
    if skip >= chosen.n_labels:
        told = f"This sheet has {chosen.n_labels} labels; at most {chosen.n_labels - 1} can be used already."
        raise Invalid(told, [FieldError("skip", told)])
    club_name, stones, lots = _read(database, caller.club_id, stone_ids)
    faults = [fault for n, stone_id in enumerate(stone_ids) if (fault := _fault(n, stone_id, stones))]
    if faults:
        raise Invalid(
            "Some stones cannot have a label. Nothing was printed; leave them out or mend them.",
            faults[:_FAULTS_TOLD],
        )
    return label_sheet_pdf(
        [_label(stones[stone_id], lots, base_url) for stone_id in stone_ids],
        layout=chosen.name,
        start_at=skip + 1,
        paper=paper,
        club_name=club_name,
        renderer=renderer,
    )


def _layout(paper: Paper, name: str | None) -> LabelLayout:
    sheets = layouts_for(paper)
    for sheet in sheets:
        if name in (None, sheet.name):
            return sheet
    known = ", ".join(sheet.name for sheet in sheets)
    told = f"There are no {name} labels on {paper} paper here; choose one of {known}."
    raise Invalid(told, [FieldError("layout", told)])


def _read(
    database: Database, club_id: str, stone_ids: list[str]
) -> tuple[str, dict[str, Stone], dict[str, Lot]]:
    wanted = sorted(set(stone_ids))
    stones: dict[str, Stone] = {}
    with database.read() as session:
        for start in range(0, len(wanted), _STONES_A_QUERY):
            some = wanted[start : start + _STONES_A_QUERY]
            rows = session.execute(
                select(Stone).where(Stone.club_id == club_id, Stone.id.in_(some))
            ).scalars()
            stones.update({row.id: row for row in rows})
        lots = session.execute(select(Lot).where(Lot.club_id == club_id)).scalars()
        club = session.get_one(Club, (club_id, club_id))
        return club.name, stones, {lot.id: lot for lot in lots}


def _fault(n: int, stone_id: str, stones: dict[str, Stone]) -> FieldError | None:
    stone = stones.get(stone_id)
    if stone is None:
        told = (
            f"There is no stone {stone_id} in your club (yet). Let the phone that took it in send it first."
        )
        return FieldError(f"stone_ids.{n}", told)
    if stone.withdrawn_at is not None:
        return FieldError(f"stone_ids.{n}", f"{stone.code} was withdrawn and needs no label. Leave it out.")
    return None


def _label(stone: Stone, lots: dict[str, Lot], base_url: str) -> dict[str, Any]:
    lot = lots[stone.lot_id]
    sizes = " × ".join(
        f"{round(side, 1):g}" for side in (stone.length_mm, stone.width_mm, stone.thickness_mm)
    )
    mass = "" if stone.mass_g is None else f", {round(stone.mass_g)} g"
    return {
        "code": stone.code,
        "kind_words": f"{stone.kind.replace('_', ' ')}, {_FORM_WORDS[stone.form]}",
        "sizes": f"{sizes} mm{mass}",
        "lot": f"{lot.code}, {lot.name}",
        "url": f"{base_url}/stones/{stone.id}",
    }
