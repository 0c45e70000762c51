"""Documents on paper: values in, PDF bytes out."""

from .labels import LABEL_LAYOUTS, LabelLayout, layouts_for
from .papers import Paper
from .render import NullRenderer, Renderer, TypstRenderer
from .sheets import grade_slip_pdf, label_sheet_pdf, protocol_sheet_pdf
from .slip_page import slip_page

__all__ = [
    "LABEL_LAYOUTS",
    "LabelLayout",
    "NullRenderer",
    "Paper",
    "Renderer",
    "TypstRenderer",
    "grade_slip_pdf",
    "label_sheet_pdf",
    "layouts_for",
    "protocol_sheet_pdf",
    "slip_page",
]
