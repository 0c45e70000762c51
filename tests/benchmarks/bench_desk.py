"""How long the dealer waits at a desk with a large club: board, map and review, seen in a browser.

    python -m tests.benchmarks.bench_desk [--keep FOLDER] [--runs 7]

Runs the real service on the big club and Chromium at 1280 × 800 on a phone's store that has synced once. Prints
seconds from asking for an address (a cold page) and from following a link in the open app (a warm page) until the
figures stand on the screen: median and worst, and the ratio to the bare page of the app's settings. Also the
service's own time for the answer behind each, and its ratio to ``/healthz``.
"""

import argparse
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import requests
from playwright.sync_api import Page, expect, sync_playwright
from tests.benchmarks.big_club import address, make
from tests.e2e.club import Member
from tests.e2e.phone import KEPT_FOR_OFFLINE
from tests.service import PASSWORD, Service, free_port

from whetpanel.paths import migrations_dir
from whetpanel.storage.migrating import migrate

SYNC_S = 600

FOLLOW = """(path) => {
  const link = document.createElement("a");
  link.href = path;
  document.body.append(link);
  link.click();
  link.remove();
}"""


def seconds(act: Callable[[], None]) -> float:
    """How long an act takes."""
    start = time.perf_counter()
    act()
    return time.perf_counter() - start


def opened(page: Page, path: str, ready: Callable[[Page], None]) -> None:
    """Ask for an address and wait until its figures stand."""
    page.goto(path, wait_until="commit")
    ready(page)


def followed(page: Page, path: str, ready: Callable[[Page], None]) -> None:
    """Follow a link inside the open app."""
    page.evaluate(FOLLOW, path)
    ready(page)


def board(page: Page) -> None:
    expect(page.get_by_role("heading", level=1)).to_have_text("Desk")
    expect(page.get_by_role("listitem").first).to_be_visible()


def grades(page: Page) -> None:
    expect(page.get_by_role("img", name="stones by")).to_be_visible()


def review(page: Page) -> None:
    expect(page.get_by_role("heading", name="What each trial does")).to_be_visible()


def protocols(page: Page) -> None:
    expect(page.get_by_role("heading", level=1)).to_have_text("Protocols")


def bare(page: Page) -> None:
    expect(page.get_by_role("heading", name="What waits, as a file")).to_be_visible()


def main() -> None:
    """Fill or copy, start, sync once, measure, print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--runs", type=int, default=7)
    wanted = parser.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="bench-"))
    service = Service(folder, free_port(), address(folder))
    try:
        if wanted.keep is None:
            make(folder, 2000, 20000).database.dispose()
        else:
            shutil.copytree(wanted.keep, folder, dirs_exist_ok=True)
            migrate(address(folder), migrations_dir())
        service.start()
        dealer = Member(service, "", "dealer", "Dealer").sign_in()
        stone = dealer.get("/stones?limit=1")["items"][0]["id"]
        while dealer.get("/pooled?purpose=knife")["behind"]:
            time.sleep(0.2)
        measure(service, dealer, stone, wanted.runs)
    finally:
        service.stop()
        shutil.rmtree(folder, ignore_errors=True)


def measure(service: Service, dealer: Member, stone: str, runs: int) -> None:
    """The answers alone, then the pages."""
    token = dealer.session.headers["Authorization"]
    answers = {
        "/healthz (bare)": f"{service.url}/healthz",
        "board": f"{service.url}/api/v1/board?purpose=knife",
        "map (pooled grades)": f"{service.url}/api/v1/pooled?purpose=knife",
        "review": f"{service.url}/api/v1/stones/{stone}/review?purpose=knife",
    }
    asking = requests.Session()
    asking.headers["Authorization"] = str(token)
    print(f"{'the service answers':<28}{'ms':>9}{'x bare':>9}{'kB':>9}")
    least = 0.0
    for name, url in answers.items():
        asking.get(url, timeout=60)
        ms = 1000 * statistics.median(
            [seconds(lambda url=url: asking.get(url, timeout=60)) for _ in range(9)]
        )
        least = least or ms
        print(
            f"{name:<28}{ms:>9.1f}{ms / least:>9.1f}{len(asking.get(url, timeout=60).content) / 1000:>9.0f}"
        )

    pages: dict[str, tuple[str, Callable[[Page], None]]] = {
        "settings (bare)": ("/me", bare),
        "board": ("/desk", board),
        "map": ("/pooled?purpose=knife", grades),
        "review": (f"/stones/{stone}/review?purpose=knife", review),
    }
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        context = browser.new_context(base_url=service.url, viewport={"width": 1280, "height": 800})
        context.set_default_timeout(SYNC_S * 1000)
        expect.set_options(timeout=SYNC_S * 1000)
        page = context.new_page()

        def first_sync() -> None:
            page.goto("/sign-in")
            page.get_by_label("Sign-in name").fill("dealer")
            page.get_by_label("Password").fill(PASSWORD)
            page.get_by_role("button", name="Sign in").click()
            expect(page.get_by_text("Copy from")).to_be_visible()
            page.evaluate(KEPT_FOR_OFFLINE)

        print(f"first sync of the whole club: {seconds(first_sync):.1f} s")
        print(
            f"{'the page stands':<28}{'cold s':>9}{'worst':>9}{'x bare':>9}{'warm s':>9}{'worst':>9}{'x bare':>9}"
        )
        least_cold = least_warm = 0.0
        for name, (path, ready) in pages.items():
            opened(page, path, ready)
            cold = [seconds(lambda path=path, ready=ready: opened(page, path, ready)) for _ in range(runs)]
            warm = []
            for _ in range(runs):
                followed(
                    page,
                    "/protocols",
                    lambda page: expect(page.get_by_role("heading", level=1)).to_have_text("Protocols"),
                )
                warm.append(seconds(lambda path=path, ready=ready: followed(page, path, ready)))
            middle_cold, middle_warm = statistics.median(cold), statistics.median(warm)
            least_cold, least_warm = least_cold or middle_cold, least_warm or middle_warm
            print(
                f"{name:<28}{middle_cold:>9.2f}{max(cold):>9.2f}{middle_cold / least_cold:>9.1f}"
                f"{middle_warm:>9.2f}{max(warm):>9.2f}{middle_warm / least_warm:>9.1f}"
            )
        browser.close()


if __name__ == "__main__":
    main()
