"""Browser stories against the real service: Debian's Chromium, phones of the usual size, a club made over HTTP."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from tests.conftest import skip_or_fail
from tests.e2e.club import Club, Member
from tests.e2e.phone import Phone
from tests.service import Service, running_club

INSTALL_CHROMIUM = "install it with: apt-get install chromium"
BUILD_PWA = "build it with: npm ci && npm run build, in pwa/"

# Six seconds are plenty for a screen on a quiet machine; a busy one gets more before a wait counts as failed.
expect.set_options(timeout=20_000)


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, Any]:
    """The system's browser, so that none is downloaded. Root cannot use Chromium's sandbox."""
    chromium = shutil.which("chromium")
    if chromium is None:
        skip_or_fail("Chromium", INSTALL_CHROMIUM)
    return {"executable_path": chromium, "args": ["--no-sandbox"]}


@pytest.fixture(scope="session")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Service]:
    if not (Path(__file__).parents[2] / "pwa" / "dist" / "index.html").is_file():
        skip_or_fail("The built PWA", BUILD_PWA)
    with running_club(tmp_path_factory.mktemp("club")) as service:
        yield service


@pytest.fixture(scope="session")
def club(service: Service) -> Club:
    """One club for all stories; each story brings its own testers and stones."""
    return Club(service, Member(service, "", "steward", "Steward").sign_in())


@pytest.fixture
def lone_club(tmp_path: Path) -> Iterator[Club]:
    """A club without other stories' stones: whether a stone is ready rests on everything that was ever tried."""
    with running_club(tmp_path) as service:
        yield Club(service, Member(service, "", "steward", "Steward").sign_in())


PhoneMaker = Callable[..., Phone]


@pytest.fixture
def new_phone(browser: Browser, service: Service) -> Iterator[PhoneMaker]:
    """Phones of this story; closing them checks that none complained or asked anybody else."""
    phones: list[Phone] = []

    def take_one(url: str | None = None) -> Phone:
        phones.append(Phone(browser, url or service.url))
        return phones[-1]

    yield take_one
    for phone in phones:
        phone.close()


@pytest.fixture
def tester(club: Club) -> Member:
    return club.tester()


@pytest.fixture
def phone(new_phone: PhoneMaker, tester: Member) -> Phone:
    """A phone on which the tester has signed in."""
    return new_phone().sign_in(tester)
