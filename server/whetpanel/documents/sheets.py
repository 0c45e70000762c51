"""Finished documents, one function each: what services and the web room ask for."""

from datetime import date

from . import compose
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
