"""Documents on paper: values in, PDF bytes out."""

from .papers import Paper
from .render import NullRenderer, Renderer, TypstRenderer
from .sheets import protocol_sheet_pdf

__all__ = ["NullRenderer", "Paper", "Renderer", "TypstRenderer", "protocol_sheet_pdf"]
