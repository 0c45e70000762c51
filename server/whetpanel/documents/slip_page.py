"""What the public page of a slip shows: the slip in words, and its rulers as SVG numbers."""

from collections.abc import Mapping
from typing import Any

from .drawing import PAGE_RULER, STEEL_RULER, ruler_drawing
from .slips import slip_in_words


def slip_page(slip: Mapping[str, Any]) -> dict[str, Any]:
    """``slip`` for web/templates/slip.html: ``slip_in_words`` with a ``drawing`` beside each grade and steel."""
    told = slip_in_words(slip)
    for grade in told["grades"]:
        grade["drawing"] = ruler_drawing(grade["ruler"], grade["mark"], PAGE_RULER)
        for steel in grade["steels"]:
            steel["drawing"] = ruler_drawing(grade["ruler"], steel["mark"], STEEL_RULER)
    return told
