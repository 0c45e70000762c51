"""How quickly the app stands on a slow phone without a signal, and how smoothly a long list scrolls.

    python -m tests.benchmarks.bench_phone [--stones 5000] [--trials 500] [--keep FOLDER] [--runs 9] [--throttle 4]

Makes a club (a folder given by ``--keep`` is filled once and used again), lets a tester's phone of 390 × 844 points
sync once, and starts the browser anew for every run: nothing but what the phone keeps is there. The page's processor
is slowed by Chromium's own throttle (DevTools protocol, Emulation.setCPUThrottlingRate); the worker's is not, since
the throttle does not reach it. Times are the page's own, from the start of the navigation to the frame after the
thing is on the screen. Prints median and worst in milliseconds, and the median as a ratio to the smallest thing the
same worker answers with (the app's icon, as a page) at the same throttle. Then the size of the scripts that the first
screen asks for, as compressed for the line; then the times between frames while the list of all stones is flung from
end to end, beside those of an empty page.
"""

import argparse
import os
import shutil
import statistics
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from playwright.sync_api import BrowserContext, CDPSession, Page, Playwright, expect, sync_playwright
from tests.benchmarks.big_club import address, make
from tests.e2e.phone import KEPT_FOR_OFFLINE
from tests.service import PASSWORD, Service, free_port

from whetpanel.paths import migrations_dir
from whetpanel.storage.migrating import migrate

T = TypeVar("T")
SYNC_MS = 600_000
WIDTH, HEIGHT = 390, 844

#: Notes the page's own time when each thing has been on the screen for a frame.
WATCH = """(() => {
  const things = {
    "first screen": () => document.querySelector("#main h1") !== null,
    "what to try next": () => [...document.querySelectorAll("h2")].some(
      (one) => one.textContent === "Try next" && one.parentElement.querySelector("li") !== null),
  };
  window.stood = {};
  const look = () => {
    for (const [name, isThere] of Object.entries(things)) {
      if (name in window.stood || !isThere()) continue;
      window.stood[name] = null;
      requestAnimationFrame(() => requestAnimationFrame(() => { window.stood[name] = performance.now(); }));
    }
  };
  new MutationObserver(look).observe(document, { childList: true, subtree: true });
})()"""
STOOD = "(name) => window.stood[name] ?? null"
LOADED = "() => performance.getEntriesByType('navigation')[0].loadEventEnd"

#: Times between frames while a script flings the page from its top to its end and back, in milliseconds.
FLING = """async ([way, ms]) => {
  const frames = [];
  const start = performance.now();
  let last = start;
  const room = () => document.documentElement.scrollHeight - innerHeight;
  while (performance.now() - start < ms) {
    const now = await new Promise(requestAnimationFrame);
    frames.push(now - last);
    last = now;
    const turn = ((now - start) / ms) * 2;
    scrollTo(0, Math.min(way, room()) * (turn < 1 ? turn : 2 - turn));
  }
  return frames.slice(2);
}"""


class SlowPhone:
    """A browser started anew on what the phone keeps, slowed down."""

    def __init__(self, playwright: Playwright, kept: Path, url: str, throttle: float) -> None:
        self._playwright, self._kept, self._url, self._throttle = playwright, kept, url, throttle

    def use(self, act: Callable[[BrowserContext, Page, CDPSession], T]) -> T:
        """Start, act, put away."""
        context = self._playwright.chromium.launch_persistent_context(
            self._kept,
            executable_path=shutil.which("chromium"),
            args=["--no-sandbox"],
            base_url=self._url,
            viewport={"width": WIDTH, "height": HEIGHT},
            has_touch=True,
            is_mobile=True,
        )
        try:
            context.set_default_timeout(SYNC_MS)
            page = context.pages[0] if context.pages else context.new_page()
            tools = context.new_cdp_session(page)
            tools.send("Emulation.setCPUThrottlingRate", {"rate": self._throttle})
            return act(context, page, tools)
        finally:
            context.close()


def until_stood(page: Page, name: str) -> float:
    """The page's own time when the thing stood, milliseconds."""
    stood: float = page.wait_for_function(STOOD, arg=name).json_value()
    return stood


def cold_start(context: BrowserContext, page: Page, _: CDPSession) -> dict[str, float]:
    """Open the app without a signal."""
    context.set_offline(True)
    page.add_init_script(WATCH)
    page.goto("/", wait_until="commit")
    return {name: until_stood(page, name) for name in ("first screen", "what to try next")}


def smallest(context: BrowserContext, page: Page, _: CDPSession) -> dict[str, float]:
    """Open the smallest thing that the worker answers with."""
    context.set_offline(True)
    page.goto("/icon.svg")
    loaded: float = page.evaluate(LOADED)
    return {"smallest page": loaded}


def sync_once(playwright: Playwright, kept: Path, url: str) -> None:
    """Sign in and wait for the whole club and the worker; unslowed."""

    def sign_in(context: BrowserContext, page: Page, _: CDPSession) -> None:
        page.goto("/sign-in")
        page.get_by_label("Sign-in name").fill("tester1")
        page.get_by_label("Password").fill(PASSWORD)
        page.get_by_role("button", name="Sign in").tap()
        expect(page.get_by_text("Copy from")).to_be_visible()
        page.evaluate(KEPT_FOR_OFFLINE)

    SlowPhone(playwright, kept, url, 1).use(sign_in)


def script_bytes(context: BrowserContext, page: Page, tools: CDPSession) -> tuple[int, int]:
    """Scripts that the first screen of a signed-in member asks for, in bytes as compressed, and how many."""
    tools.send("Network.enable")
    tools.send("Network.setBypassServiceWorker", {"bypass": True})
    tools.send("Network.setCacheDisabled", {"cacheDisabled": True})
    sizes: dict[str, int] = {}

    def received(told: dict[str, Any]) -> None:
        if told["type"] == "Script":
            headers = {name.lower(): value for name, value in told["response"]["headers"].items()}
            sizes[told["response"]["url"]] = int(headers["content-length"])

    tools.on("Network.responseReceived", received)
    page.goto("/")
    expect(page.get_by_role("heading", name="Bench")).to_be_visible()
    # What it counts in the background, open work for one, belongs to it too.
    expect(page.get_by_text("Copy from")).to_be_visible()
    page.wait_for_timeout(5000)
    return sum(sizes.values()), len(sizes)


def frames_of(path: str, way_px: int, ms: int) -> Callable[[BrowserContext, Page, CDPSession], list[float]]:
    """Times between frames while a page is flung down its way and back."""

    def fling(_: BrowserContext, page: Page, __: CDPSession) -> list[float]:
        page.goto(path)
        if path == "/stones":
            expect(page.get_by_role("listitem").first).to_be_visible()
            # The states of all stones are worked out after the list stands; scrolling is measured with them in.
            expect(page.get_by_text("Reading")).to_have_count(0)
            page.wait_for_timeout(4000)
        frames: list[float] = page.evaluate(FLING, [way_px, ms])
        return frames

    return fling


def say_frames(name: str, frames: list[float]) -> None:
    ordered = sorted(frames)
    at_95 = ordered[int(0.95 * (len(ordered) - 1))]
    late = sum(one > 50 for one in frames) / len(frames)
    print(f"{name:<34}{statistics.median(frames):>9.1f}{at_95:>9.1f}{ordered[-1]:>9.1f}{late:>9.1%}")


def main() -> None:
    """Fill or copy, sync, measure, print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--stones", type=int, default=5000)
    parser.add_argument("--trials", type=int, default=500)
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--runs", type=int, default=9)
    parser.add_argument("--throttle", type=float, default=4)
    wanted = parser.parse_args()
    expect.set_options(timeout=SYNC_MS)
    folder = Path(tempfile.mkdtemp(prefix="bench-"))
    club, kept = folder / "club", folder / "phone"
    service = Service(club, free_port(), address(club))
    try:
        source = wanted.keep or club
        if not source.exists():
            make(source, wanted.stones, wanted.trials).database.dispose()
        if source != club:
            shutil.copytree(source, club)
            migrate(address(club), migrations_dir())
        service.start()
        with sync_playwright() as playwright:
            sync_once(playwright, kept, service.url)
            measure(SlowPhone(playwright, kept, service.url, wanted.throttle), wanted.runs)
    finally:
        service.stop()
        shutil.rmtree(folder, ignore_errors=True)


def measure(phone: SlowPhone, runs: int) -> None:
    """Cold starts, sizes, frames."""
    print(f"load on this machine: {os.getloadavg()[0]:.1f} of {os.cpu_count()} processors")
    small = [phone.use(smallest) for _ in range(runs)]
    starts = [phone.use(cold_start) for _ in range(runs)]
    least = statistics.median(one["smallest page"] for one in small)
    print(f"{'cold start without a signal':<34}{'ms':>9}{'worst':>9}{'x small':>9}")
    for name, found in (("smallest page", small), ("first screen", starts), ("what to try next", starts)):
        times = [one[name] for one in found]
        middle = statistics.median(times)
        print(f"{name:<34}{middle:>9.0f}{max(times):>9.0f}{middle / least:>9.1f}")

    size, number = phone.use(script_bytes)
    print(f"scripts of the first screen: {size / 1000:.1f} kB compressed, in {number} files")

    print(f"{'ms between frames':<34}{'median':>9}{'95 %':>9}{'worst':>9}{'> 50':>9}")
    say_frames("an empty page", phone.use(frames_of("/icon.svg", 0, 5000)))
    say_frames("all stones, three rows a frame", phone.use(frames_of("/stones", 25_000, 5000)))
    say_frames("all stones, end to end and back", phone.use(frames_of("/stones", 1_000_000, 5000)))


if __name__ == "__main__":
    main()
