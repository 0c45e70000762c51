"""Fingers on a photo that the app shows: taps, drags, the four corners."""

from playwright.sync_api import Locator, Page, expect

from tests.e2e.stone_photo import SIZE, Point


def tap_photo(page: Page, pad: Locator, at: Point) -> None:
    """Tap the photo where one of its pixels is shown."""
    pad.scroll_into_view_if_needed()
    outer, drawn = pad.bounding_box(), pad.locator("svg").first.bounding_box()
    assert outer is not None
    assert drawn is not None
    scale = min(drawn["width"] / SIZE[0], drawn["height"] / SIZE[1])
    left = drawn["x"] - outer["x"] + (drawn["width"] - SIZE[0] * scale) / 2
    top = drawn["y"] - outer["y"] + (drawn["height"] - SIZE[1] * scale) / 2
    pad.tap(position={"x": left + at[0] * scale, "y": top + at[1] * scale})


def drag_photo(page: Page, pad: Locator, start: Point, end: Point) -> None:
    """Put a finger on one place of the photo and take it to another, as a touch screen reports it."""
    pad.scroll_into_view_if_needed()
    drawn = pad.locator("svg").first.bounding_box()
    assert drawn is not None
    scale = drawn["width"] / SIZE[0]
    touch = page.context.new_cdp_session(page)

    def send(kind: str, *at: Point) -> None:
        points = [{"x": drawn["x"] + x * scale, "y": drawn["y"] + y * scale} for x, y in at]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    send("touchStart", start)
    for step in range(1, 11):
        share = step / 10
        send(
            "touchMove",
            (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])),
        )
    send("touchEnd")


def photograph(page: Page, label: str, photo: bytes) -> Locator:
    chooser = page.get_by_label(label)
    chooser.set_input_files({"name": "IMG_7.jpg", "mimeType": "image/jpeg", "buffer": photo})
    pad = page.get_by_role("application", name="Photo of")
    expect(pad).to_be_visible()
    return pad


def set_corners(page: Page, pad: Locator, corners: list[Point]) -> None:
    for n, corner in enumerate(corners):
        expect(page.get_by_role("application", name=f"{n} of 4 corners set")).to_be_visible()
        tap_photo(page, pad, corner)
