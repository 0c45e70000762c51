"""Labels for stones: where they lie on a sheet, and what stands on them.

Measures are those of common die-cut sheets, in millimetres, named by the size of a label alone (common
practice, no source). Each sheet's columns, rows, gaps and margins add up to its paper, which a test checks. A
sheet must be printed at full size: scaled to fit a printer's margins, labels drift off their places.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..errors import FieldError, Invalid
from .papers import Paper
from .qr import qr_code
from .text import breakable


@dataclass(frozen=True)
class LabelLayout:
    """A sheet of equal labels, lengths in mm.

    ``left_mm`` and ``top_mm`` lead from the paper's corner to the first label's; ``pitch_x_mm`` and
    ``pitch_y_mm`` from one label's corner to the next one's. ``cut`` marks plain paper, which gets cut marks.
    """

    name: str
    paper: Paper
    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    pitch_x_mm: float
    pitch_y_mm: float
    cut: bool = False

    @property
    def n_labels(self) -> int:
        """Places on one sheet."""
        return self.columns * self.rows

    @property
    def words(self) -> str:
        """For a list to choose from: "70 × 37 mm, 24 on a sheet"."""
        kind = ", plain paper with cut marks" if self.cut else ""
        return f"{_tenths(self.width_mm)} × {_tenths(self.height_mm)} mm, {self.n_labels} on a sheet{kind}"

    def corner_mm(self, place: int) -> tuple[float, float]:
        """Upper left corner of a place, counted from 1 along the rows."""
        row, column = divmod(place - 1, self.columns)
        return (self.left_mm + column * self.pitch_x_mm, self.top_mm + row * self.pitch_y_mm)


_A4, _LETTER = Paper.A4, Paper.LETTER

LABEL_LAYOUTS = (
    LabelLayout("70x37", _A4, 3, 8, 70, 37, 0, 0.5, 70, 37),
    LabelLayout("63.5x38.1", _A4, 3, 7, 63.5, 38.1, 7.25, 15.15, 66, 38.1),
    LabelLayout("99.1x38.1", _A4, 2, 7, 99.1, 38.1, 4.65, 15.15, 101.6, 38.1),
    LabelLayout("60x40", _A4, 3, 6, 60, 40, 15, 28.5, 60, 40, cut=True),
    # Sheets on Letter are laid out in inches: 2 5/8 × 1, and 4 × 2.
    LabelLayout("66.7x25.4", _LETTER, 3, 10, 66.675, 25.4, 4.7625, 12.7, 69.85, 25.4),
    LabelLayout("101.6x50.8", _LETTER, 2, 5, 101.6, 50.8, 3.96875, 12.7, 106.3625, 50.8),
    LabelLayout("60x40", _LETTER, 3, 6, 60, 40, 17.95, 19.7, 60, 40, cut=True),
)

# What a label has room for at a size that can still be read; the QR code leads to the whole record.
_LONGEST = {"code": 20, "kind_words": 60, "sizes": 40, "lot": 60}
_LONGEST_CLUB = 48


# Die-cut sheets shift by a millimetre or two in the feed, so nothing is printed nearer than this to a label's
# edge; and common printers leave about five millimetres of the paper's own edge blank.
_INSET_MM = 2.6
_BLANK_EDGE_MM = 5.0


def layouts_for(paper: Paper) -> tuple[LabelLayout, ...]:
    """The layouts on this paper."""
    return tuple(layout for layout in LABEL_LAYOUTS if layout.paper == paper)


def label_sheet(
    labels: Sequence[Mapping[str, Any]], *, layout: str, start_at: int, paper: Paper, club_name: str
) -> dict[str, Any]:
    """Data for templates/label_sheet.typ; see ``label_sheet_pdf``."""
    sheet = _layout_named(layout, paper)
    if not labels:
        raise _refused("labels", "There is no label to print; choose at least one stone.")
    if not 1 <= start_at <= sheet.n_labels:
        raise _refused(
            "start_at", f"This sheet has places 1 to {sheet.n_labels}; there is no place {start_at}."
        )
    placed = [_placed(label, number, sheet) for number, label in enumerate(labels, start=start_at - 1)]
    n_pages = placed[-1]["page"] + 1
    return {
        "title": "Stone labels",
        "club_name": club_name,
        "club_shown": breakable(_at_most(club_name, _LONGEST_CLUB), 16),
        "width_mm": sheet.width_mm,
        "height_mm": sheet.height_mm,
        "inset_x_mm": round(max(_INSET_MM, _BLANK_EDGE_MM - sheet.left_mm), 4),
        "inset_y_mm": round(max(_INSET_MM, _BLANK_EDGE_MM - sheet.top_mm), 4),
        "pages": [[label for label in placed if label["page"] == page] for page in range(n_pages)],
        "cuts": _cuts(sheet) if sheet.cut else None,
    }


def _placed(label: Mapping[str, Any], number: int, sheet: LabelLayout) -> dict[str, Any]:
    page, place = divmod(number, sheet.n_labels)
    x_mm, y_mm = sheet.corner_mm(place + 1)
    words = {name: breakable(_at_most(label[name] or "", longest), 16) for name, longest in _LONGEST.items()}
    return {
        "page": page,
        "x_mm": round(x_mm, 4),
        "y_mm": round(y_mm, 4),
        **words,
        "url": label["url"],
        **qr_code(label["url"]),
    }


def _cuts(sheet: LabelLayout) -> dict[str, list[float]]:
    """Where the knife goes: distances of the upright and the level cuts from the paper's corner, mm."""
    return {
        "x_mm": [round(sheet.left_mm + i * sheet.pitch_x_mm, 4) for i in range(sheet.columns + 1)],
        "y_mm": [round(sheet.top_mm + i * sheet.pitch_y_mm, 4) for i in range(sheet.rows + 1)],
    }


def _layout_named(name: str, paper: Paper) -> LabelLayout:
    for layout in layouts_for(paper):
        if layout.name == name:
            return layout
    known = ", ".join(layout.name for layout in layouts_for(paper))
    raise _refused("layout", f"There are no {name!r} labels on {paper} paper here; choose one of {known}.")


def _tenths(length_mm: float) -> str:
    return f"{round(length_mm, 1):g}"


def _at_most(words: str, n_characters: int) -> str:
    return words if len(words) <= n_characters else words[: n_characters - 1].rstrip() + "…"


def _refused(field: str, detail: str) -> Invalid:
    return Invalid(detail, [FieldError(field, detail)])
