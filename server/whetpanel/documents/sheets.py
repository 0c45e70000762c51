"""Finished documents, one function each: what services and the web room ask for."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from . import compose, slips
from . import labels as stone_labels
from .papers import Paper
from .render import Renderer


def protocol_sheet_pdf(
    protocol: object, *, club_name: str, url: str, paper: Paper | str, issued_on: date, renderer: Renderer
) -> bytes:
    """The protocol sheet to hand out at a bench, as a tagged PDF.

    ``protocol`` is the record as served, or a dataclass with its fields; ``url`` is the full address that the
    QR code leads to; ``paper`` is "a4" or "letter" (Invalid otherwise); ``issued_on`` comes from the caller's
    clock.
    """
    paper = Paper.named(paper)
    data = compose.protocol_sheet(protocol, club_name=club_name, url=url, paper=paper, issued_on=issued_on)
    return renderer.render("protocol_sheet", data, paper)


def grade_slip_pdf(slip: Mapping[str, Any], *, url: str, paper: Paper | str, renderer: Renderer) -> bytes:
    """The grade slip that goes with a stone, as a tagged PDF: one page, two if there is very much to tell.

    ``slip`` is a published slip as served to whoever holds its code; ``url`` is the full address of its public
    page, which the QR code leads to; ``paper`` is "a4" or "letter" (Invalid otherwise). The day printed is the
    slip's own.
    """
    paper = Paper.named(paper)
    return renderer.render("grade_slip", slips.grade_slip(slip, url=url, paper=paper), paper)


def label_sheet_pdf(
    labels: Sequence[Mapping[str, Any]],
    *,
    layout: str,
    start_at: int = 1,
    paper: Paper | str,
    club_name: str,
    renderer: Renderer,
) -> bytes:
    """Sheets of labels with QR codes, as a tagged PDF, to be printed at full size.

    ``labels`` are mappings with ``code``, ``kind_words``, ``sizes``, ``lot`` and ``url``; ``layout`` names one of
    ``LABEL_LAYOUTS`` for this paper; ``start_at`` is the first free place of a sheet in use, counted from 1 along
    the rows. Raises Invalid for an unknown paper or layout, a place that the sheet does not have, or no label.
    """
    paper = Paper.named(paper)
    data = stone_labels.label_sheet(
        labels, layout=layout, start_at=start_at, paper=paper, club_name=club_name
    )
    return renderer.render("label_sheet", data, paper)
