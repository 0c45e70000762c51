"""Every screen, in every look: axe-core finds nothing, nothing scrolls sideways, nothing complains."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.conftest import new_id, skip_or_fail
from tests.e2e.club import Club, Member, Record
from tests.e2e.conftest import PhoneMaker
from tests.e2e.phone import Phone
from tests.e2e.screens import begin_trial, choose, save_trial, trace, walk_steps
from tests.e2e.waiting import wait_on

pytestmark = pytest.mark.browser

PWA = Path(__file__).parents[2] / "pwa"
AXE = PWA / "node_modules" / "axe-core" / "axe.min.js"

#: axe-core's own default rules (WCAG 2 A and AA, and its best practices).
FIND_ALL = "() => axe.run().then((found) => found.violations)"
#: Colours are all that a look changes.
FIND_COLOURS = "() => axe.run({ runOnly: ['color-contrast'] }).then((found) => found.violations)"
WEAR = "(look) => { document.documentElement.dataset.look = look; }"
WEAR_AS_BEFORE = "() => { delete document.documentElement.dataset.look; }"
#: Letters twice as large, as in a browser whose owner asked for them (WCAG 2.2, 1.4.4: 200 %).
ENLARGE = "() => { document.documentElement.style.fontSize = '200%'; }"
AS_BEFORE = "() => { document.documentElement.style.fontSize = ''; }"
TOO_WIDE = "() => document.documentElement.scrollWidth > document.documentElement.clientWidth"


class Examination:
    """What was found wrong on which screen."""

    def __init__(self, phone: Phone) -> None:
        if not AXE.is_file():
            skip_or_fail("axe-core", "install it with: npm ci, in pwa/")
        phone.context.add_init_script(path=AXE)
        self.page = phone.page
        self.seen: list[str] = []
        self.wrong: list[str] = []

    def look_at(self, name: str) -> None:
        """Examine the screen as it stands, then its colours in the other looks."""
        page = self.page
        self.seen.append(name)
        self._note(name, page.evaluate(FIND_ALL))
        if page.evaluate(TOO_WIDE):
            self.wrong.append(f"{name}: scrolls sideways")
        page.evaluate(ENLARGE)
        if page.evaluate(TOO_WIDE):
            self.wrong.append(f"{name}: scrolls sideways with letters twice as large")
        page.evaluate(AS_BEFORE)
        for look in ("dark", "glare"):
            page.evaluate(WEAR, look)
            self._note(f"{name}, {look}", page.evaluate(FIND_COLOURS))
        page.evaluate(WEAR_AS_BEFORE)

    def _note(self, name: str, violations: list[dict[str, Any]]) -> None:
        for violation in violations:
            nodes = "; ".join(str(node["html"])[:160] for node in violation["nodes"][:3])
            self.wrong.append(f"{name}: {violation['id']}, {violation['help']}: {nodes}")


def routes() -> set[str]:
    """The addresses that the app knows."""
    return set(re.findall(r'<Route path="([^"]+)"', (PWA / "src" / "app.tsx").read_text()))


@pytest.fixture
def keeper(club: Club) -> Member:
    """A member who may see everything; in a small club one person is all three."""
    return club.member(f"keeper{new_id()[-6:]}", "tester", "dealer", "steward")


@pytest.fixture
def known_stone(club: Club, keeper: Member) -> Record:
    """A stone with an inspection that asks for work, and trials of the keeper and another tester."""
    stone = club.stone()
    for one in (keeper, club.tester()):
        one.put(f"/trials/{new_id()}", club.trial_body(stone))
    finding = {
        "id": new_id(),
        "kind": "fissure",
        "points": [{"x_mm": 165, "y_mm": 0}, {"x_mm": 205, "y_mm": 28}],
        "catches_nail": True,
        "relieved": False,
        "notes": "",
    }
    body = {
        "stone_id": stone["id"],
        "face": "front",
        "inspected_at": "2026-03-01T09:00:00Z",
        "findings": [finding],
        "photos": [],
        "notes": "",
    }
    keeper.put(f"/inspections/{new_id()}", body)
    return stone


def test_every_address_passes_the_examination(
    club: Club, keeper: Member, known_stone: Record, new_phone: PhoneMaker
) -> None:
    """Each route of the app as a member meets it first; a route that is added has to join."""
    phone = new_phone()
    page = phone.page
    ready: dict[str, tuple[str, Callable[[], None]]] = {
        "/sign-in": ("/sign-in", lambda: expect(page.get_by_label("Password")).to_be_visible()),
        "/": ("/", lambda: heading(page, "Bench")),
        "/desk": ("/desk", lambda: heading(page, "Lot board")),
        "/stones": ("/stones?for=knife", lambda: heading(page, "Stones")),
        "/stones/:id": (f"/stones/{known_stone['id']}", lambda: heading(page, "Pooled grades, knife")),
        "/stones/:id/inspect": (f"/stones/{known_stone['id']}/inspect", lambda: heading(page, "Inspect")),
        "/stones/:id/trial": (f"/stones/{known_stone['id']}/trial", lambda: heading(page, "Try")),
        "/stones/:id/review": (
            f"/stones/{known_stone['id']}/review",
            lambda: heading(page, "What each trial says"),
        ),
        "/match": ("/match", lambda: expect(page.get_by_role("button", name="Find stones")).to_be_visible()),
        "/pooled": ("/pooled", lambda: expect(page.get_by_role("table")).to_be_visible()),
        "/plan": ("/plan?purpose=knife", lambda: heading(page, "Who has which stone")),
        "/agreement": ("/agreement?purpose=knife", lambda: heading(page, "Do they give the same grade?")),
        "/testers": (
            "/testers?purpose=knife",
            lambda: expect(page.get_by_role("table", name="Testers")).to_be_visible(),
        ),
        "/testers/:id": (
            f"/testers/{keeper.id}?purpose=knife",
            lambda: heading(page, "Level against the panel"),
        ),
        "/protocols": ("/protocols", lambda: heading(page, "Protocols")),
        "/protocols/:id": (f"/protocols/{club.protocol['id']}", lambda: heading(page, club.protocol["name"])),
        "/me": ("/me", lambda: heading(page, "What waits, as a file")),
        "/nowhere": ("/nowhere", lambda: heading(page, "Nothing here")),
    }
    examination = Examination(phone)
    for route in sorted(routes() | set(ready), key=lambda one: one != "/sign-in"):
        address, is_ready = ready.get(route, (route.replace(":id", known_stone["id"]), lambda: None))
        page.goto(address)
        is_ready()
        expect(page.get_by_role("heading", level=1)).to_be_visible()
        page.wait_for_load_state("networkidle")
        examination.look_at(route)
        if route == "/sign-in":
            phone.sign_in(keeper)
    assert [] == examination.wrong
    assert routes() <= set(examination.seen)


def test_every_state_of_work_passes_the_examination(
    club: Club, keeper: Member, known_stone: Record, new_phone: PhoneMaker
) -> None:
    """A trial at each step, at its review and saved; an inspection being traced; records that wait and need you."""
    phone = new_phone()
    examination = Examination(phone)
    page = phone.sign_in(keeper).page
    page.goto(f"/stones/{known_stone['id']}")
    begin_trial(page, club.protocol, club.blades[0])
    answers = {"mud_shade": 3, "contrast": "haze", "scratches_seen": False, "feel": "silky"}
    for number, step in enumerate(club.protocol["steps"]):
        expect(page.get_by_role("heading", name=step["title"], level=1)).to_be_visible()
        if step["records"] or number == 0:
            examination.look_at(f"trial, {step['title']}")
        last = number == len(club.protocol["steps"]) - 1
        grades = {"hardness": 3.5, "fineness": 4.0}
        walk_steps(page, club.protocol, answers, grades, start=number, to=None if last else number + 1)
    examination.look_at("trial, review")
    save_trial(page)
    expect(page.get_by_text("sent", exact=True)).to_be_visible()
    examination.look_at("trial, saved")

    page.goto(f"/stones/{known_stone['id']}/inspect")
    choose(page, "Face", "Back")
    trace(page, known_stone, "Fissure", [(60, 0), (40, 30)])
    examination.look_at("inspection, tracing")
    page.get_by_role("button", name="Done with this one").tap()
    examination.look_at("inspection, verdicts")

    trials = {
        new_id(): club.trial_body(known_stone, grades={"hardness": 3.3}),
        new_id(): club.trial_body(known_stone),
    }
    wait_on(phone, keeper, trials)
    phone.page.get_by_text("Waiting to go out").tap()
    examination.look_at("bench, waiting without a signal")
    phone.go_online()
    expect(page.get_by_role("heading", name="1 record needs you")).to_be_visible()
    examination.look_at("bench, a record needs you")
    assert [] == examination.wrong


def heading(page: Page, name: str) -> None:
    expect(page.get_by_role("heading", name=name).first).to_be_visible()
