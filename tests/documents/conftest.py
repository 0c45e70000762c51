"""One renderer for all, since reading its fonts is the slow part; protocols of very different lengths."""

import copy
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from whetpanel.core.protocols import Protocol, default_protocols
from whetpanel.documents import Paper, TypstRenderer, protocol_sheet_pdf

URL = "https://stones.example.org/protocols/0199d2f0-6c1e-7a52-9b3c-5a0b7c9d1e2f"
ISSUED = date(2026, 11, 25)

Printer = Callable[..., bytes]


@pytest.fixture(scope="session")
def renderer() -> TypstRenderer:
    return TypstRenderer()


@pytest.fixture(scope="session")
def sheet(renderer: TypstRenderer) -> Printer:
    """Prints a protocol for an invented club."""

    def print_sheet(
        protocol: Any,
        *,
        paper: Paper | str = Paper.A4,
        club_name: str = "Hollow Ford Stone Club",
        url: str = URL,
    ) -> bytes:
        return protocol_sheet_pdf(
            protocol, club_name=club_name, url=url, paper=paper, issued_on=ISSUED, renderer=renderer
        )

    return print_sheet


@pytest.fixture
def knife() -> Protocol:
    return default_protocols()["knife"]


@pytest.fixture
def short() -> Protocol:
    """As little as a protocol can hold."""
    return {
        "name": "Quick look",
        "purpose": "knife",
        "summary": "",
        "reference_steels": [],
        "cautions": [],
        "steps": [],
        "scales": [
            {
                "id": "h",
                "name": "Hardness",
                "low": 1,
                "high": 5,
                "step": 0.5,
                "words": {"1": "soft", "5": "hard"},
            }
        ],
        "observations": [],
    }


@pytest.fixture
def long(knife: Protocol) -> Protocol:
    """More steps, words and observations than any bench would bear, one step longer than a page."""
    protocol = copy.deepcopy(knife)
    protocol["name"] = (
        "Trial of very soft layered stones with the second slurry, third draft of the spring meeting"
    )
    protocol["cautions"] = knife["cautions"] * 3
    protocol["steps"] = [
        {**step, "id": f"{step['id']}{i}", "text": step["text"] * (1 + 3 * i)}
        for i in range(3)
        for step in knife["steps"]
    ]
    protocol["steps"].append(
        {**knife["steps"][3], "id": "wall", "text": "Words and more words. " * 400 + "The end."}
    )
    protocol["observations"] += [
        {**o, "id": f"{o['id']}{i}", "name": f"{o['name']} {i}"}
        for i in range(3)
        for o in knife["observations"]
    ]
    return protocol
