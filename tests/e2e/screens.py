"""The screens as a member meets them: found by role, label and words, tapped with a finger."""

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.e2e.club import Record

Point = tuple[float, float]


def choose(page: Page, question: str, answer: str) -> None:
    """Tap one answer of a question with big answers."""
    group = page.get_by_role("group", name=question, exact=True)
    option = page.get_by_role("radio", name=answer)
    # The whole field is tapped, as a thumb does: the radio button itself lies under its words.
    group.locator("label").filter(has=option).tap()
    expect(group.get_by_role("radio", name=answer)).to_be_checked()


def set_grade(page: Page, scale: Record, grade: float) -> None:
    """Tap a grade ruler where the grade stands (the drawing is 360 units long with 24 at either end)."""
    slider = page.get_by_role("slider", name=scale["name"])
    slider.scroll_into_view_if_needed()
    outer, drawing = _box(slider), _box(slider.locator("svg"))
    share = (grade - scale["low"]) / (scale["high"] - scale["low"])
    x = (24 + share * (360 - 48)) / 360 * drawing["width"] + drawing["x"] - outer["x"]
    slider.tap(position={"x": x, "y": outer["height"] / 2})
    expect(slider).to_have_attribute("aria-valuenow", f"{grade:g}")


def answer(page: Page, asked: Record, value: Any) -> None:
    """Give one observation the way its kind is given."""
    name = f"{asked['name']} (needed)" if asked["required"] else asked["name"]
    if asked["kind"] == "choice":
        words = next(choice["words"] for choice in asked["choices"] if choice["value"] == value)
        choose(page, name, words)
    elif asked["kind"] == "yes_no":
        choose(page, name, "Yes" if value else "No")
    elif asked["kind"] == "grit_band":
        rungs = page.get_by_role("group", name=name)
        for grit in (value["low"], value["high"]):
            rungs.get_by_role("button", name=f"#{grit}", exact=True).tap()
    elif asked["unit"] == "s":
        page.get_by_label("or type it").fill(str(value))
    else:
        page.get_by_label(name).fill(str(value))


def begin_trial(page: Page, protocol: Record, blade: Record) -> None:
    """From a stone's page through the set-up: nothing is chosen for the tester."""
    page.get_by_role("link", name="Try", exact=True).tap()
    begin = page.get_by_role("button", name="Choose protocol, blade and face to begin.")
    expect(begin).to_be_disabled()
    choose(page, "Which protocol?", protocol["name"])
    choose(page, "Which blade?", blade["name"])
    choose(page, "Which face do you work?", "Front")
    page.get_by_label("Thickness now").fill("24.5")
    # Whoever has made a trial by this protocol is shown the short way; these stories walk every step.
    page.get_by_role("checkbox", name="I know this protocol").uncheck()
    page.get_by_role("button", name="Begin").tap()


def walk_steps(
    page: Page,
    protocol: Record,
    observations: Record,
    grades: dict[str, float],
    *,
    start: int = 0,
    to: int | None = None,
) -> None:
    """Steps of the protocol in turn, each with what it records; without `to` as far as the review."""
    asked = {one["id"]: one for one in protocol["observations"]}
    scales = {one["id"]: one for one in protocol["scales"]}
    for number, step in list(enumerate(protocol["steps"], start=1))[start:to]:
        expect(page.get_by_role("heading", name=step["title"], level=1)).to_be_visible()
        expect(page.get_by_text(f"Step {number} of {len(protocol['steps'])}")).to_be_visible()
        for name in step["records"]:
            if name in observations:
                answer(page, asked[name], observations[name])
            if name in grades:
                set_grade(page, scales[name], grades[name])
        page.get_by_role("button", name="Next").or_(page.get_by_role("button", name="Review")).tap()
    if to is None:
        expect(page.get_by_role("heading", name="Review", level=1)).to_be_visible()


def save_trial(page: Page) -> None:
    page.get_by_role("button", name="Save this trial").tap()
    expect(page.get_by_role("heading", name="Trial saved")).to_be_visible()


def change_grade(
    page: Page,
    protocol: Record,
    scale_id: str,
    grade: float,
    trial: Locator | None = None,
    meanwhile: Callable[[], None] = lambda: None,
) -> None:
    """On a stone's page: change a grade of the one own trial, or of the one pointed at, and save."""
    scale = next(one for one in protocol["scales"] if one["id"] == scale_id)
    (trial or page.get_by_role("main")).get_by_role("link", name="Change it").tap()
    page.get_by_role("button", name=scale["name"]).tap()
    set_grade(page, scale, grade)
    meanwhile()
    save = page.get_by_role("button", name="Save the changes")
    onward = page.get_by_role("button", name="Next").or_(page.get_by_role("button", name="Review"))
    expect(onward).to_be_visible()
    while onward.is_visible():
        onward.tap()
        expect(onward.or_(save)).to_be_visible()
    save.tap()
    expect(page.get_by_role("heading", name="Changes saved")).to_be_visible()


def find_stone(page: Page, code: str) -> None:
    """From the bench, by the code on the label."""
    page.get_by_label("Stone code").fill(code)
    page.get_by_role("button", name="Open").tap()
    expect(page.get_by_role("heading", name=code, level=1)).to_be_visible()


def trace(page: Page, stone: Record, kind: str, points: list[Point]) -> None:
    """Add a finding and tap its points on the face, given in mm from the corner."""
    page.get_by_role("button", name=kind, exact=True).tap()
    pad = page.get_by_role("application")
    for number, (x_mm, y_mm) in enumerate(points, start=1):
        pad.scroll_into_view_if_needed()
        outer, drawing = _box(pad), _box(pad.locator("svg"))
        # The drawing shows the face with a margin of 12 of its 340 units on every side, kept in proportion.
        margin = 12 * stone["length_mm"] / 340
        wide, high = stone["length_mm"] + 2 * margin, stone["width_mm"] + 2 * margin
        scale = min(drawing["width"] / wide, drawing["height"] / high)
        left = drawing["x"] - outer["x"] + (drawing["width"] - wide * scale) / 2
        top = drawing["y"] - outer["y"] + (drawing["height"] - high * scale) / 2
        pad.tap(position={"x": left + (x_mm + margin) * scale, "y": top + (y_mm + margin) * scale})
        said = f"{number} {'point' if number == 1 else 'points'} set"
        expect(page.get_by_role("application", name=said)).to_be_visible()


def probe(page: Page, question: str, answer: str) -> None:
    """Answer a probe of a finding: Yes or No."""
    button = page.get_by_role("group", name=question).get_by_role("button", name=answer, exact=True)
    button.tap()
    expect(button).to_have_attribute("aria-pressed", "true")


def _box(locator: Locator) -> dict[str, float]:
    box = locator.bounding_box()
    assert box is not None
    return {"x": box["x"], "y": box["y"], "width": box["width"], "height": box["height"]}
