"""A phone in a tester's hand: one browser context, with what it asked, received and complained about written down."""

import time
from dataclasses import dataclass, field
from urllib.parse import urlsplit

import requests
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    Request,
    expect,
)

from tests.conftest import PASSWORD
from tests.e2e.club import Member

#: What Chromium itself writes when a request fails. In these stories requests fail on purpose.
FAILED_REQUEST = "Failed to load resource"

#: Resolves once the worker has stored the whole app; says whether it answers for this page. A page that is loaded at
#: the very moment when the worker takes over is missed by it and stays without until it is loaded again.
KEPT_FOR_OFFLINE = """async () => {
  const workers = navigator.serviceWorker;
  await workers.ready;
  if (workers.controller !== null) return true;
  return new Promise((go) => {
    workers.addEventListener("controllerchange", () => go(true));
    setTimeout(() => go(workers.controller !== null), 3000);
  });
}"""

#: Resolves once a half-typed form in the phone's store holds the value. The screen has it some milliseconds sooner.
DRAFT_SAYS = """async ([name, value]) => {
  const asked = (request) => new Promise((go, fail) => {
    request.onsuccess = () => go(request.result);
    request.onerror = () => fail(request.error);
  });
  const store = await asked(indexedDB.open("whetpanel"));
  for (;;) {
    const drafts = await asked(store.transaction("drafts").objectStore("drafts").getAll());
    if (drafts.some((draft) => draft.values[name] === value)) break;
    await new Promise((go) => setTimeout(go, 20));
  }
  store.close();
}"""


@dataclass
class Heard:
    """Everything a phone's pages said and asked, for claims about all of it."""

    complaints: list[str] = field(default_factory=list)
    requests: list[str] = field(default_factory=list)

    def listen(self, page: Page) -> None:
        page.on("console", self._console)
        page.on("pageerror", lambda error: self.complaints.append(f"{page.url}: {error}"))

    def _console(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning") and not message.text.startswith(FAILED_REQUEST):
            self.complaints.append(f"{message.location.get('url', '')}: {message.text}")

    def asked(self, request: Request) -> None:
        self.requests.append(f"{request.method} {request.url}")


@dataclass
class Phone:
    """390 × 844 points and a touch screen; `page` is its one tab, `tab()` opens another."""

    browser: Browser
    url: str
    context: BrowserContext = field(init=False)
    page: Page = field(init=False)
    heard: Heard = field(default_factory=Heard)

    def __post_init__(self) -> None:
        self.context = self.browser.new_context(
            base_url=self.url,
            viewport={"width": 390, "height": 844},
            has_touch=True,
            is_mobile=True,
            locale="en-GB",
        )
        self.context.set_default_timeout(20_000)
        self.context.on("page", self.heard.listen)
        self.context.on("request", self.heard.asked)
        self.page = self.tab()

    def tab(self) -> Page:
        return self.context.new_page()

    def sign_in(self, member: Member) -> "Phone":
        """Through the door, until the club's records are here and the app is kept for a day without a signal."""
        self.page.goto("/sign-in")
        self.fill_in_at_the_door(member)
        expect(self.page.get_by_role("heading", name="Bench")).to_be_visible()
        expect(self.page.get_by_text("Copy from")).to_be_visible()
        if not self.page.evaluate(KEPT_FOR_OFFLINE):
            self.page.reload()
            expect(self.page.get_by_role("heading", name="Bench")).to_be_visible()
            assert self.page.evaluate(KEPT_FOR_OFFLINE)
        return self

    def fill_in_at_the_door(self, member: Member) -> None:
        self.page.get_by_label("Sign-in name").fill(member.sign_in_name)
        self.page.get_by_label("Password").fill(PASSWORD)
        self.page.get_by_role("button", name="Sign in").tap()

    def until_draft_says(self, name: str, value: str) -> None:
        self.page.evaluate(DRAFT_SAYS, [name, value])

    def go_offline(self) -> None:
        self.context.set_offline(True)

    def go_online(self) -> None:
        self.context.set_offline(False)

    def bench(self) -> Page:
        self.page.goto("/")
        expect(self.page.get_by_role("heading", name="Bench")).to_be_visible()
        return self.page

    def sync_now(self) -> None:
        """Ask for a round and wait until it is over; from the bench."""
        self.page.get_by_role("button", name="Sync now").tap()
        expect(self.page.get_by_role("button", name="Sync now")).to_be_enabled()

    def expect_waiting(self, n: int) -> None:
        """The bench says how many records wait."""
        # The bench comes whole: with its heading it shows what waits, so nothing shown means that nothing waits.
        expect(self.page.get_by_role("heading", name="Bench")).to_be_visible()
        waiting = self.page.get_by_text("Waiting to go out")
        if n == 0:
            expect(waiting).to_have_count(0)
        else:
            expect(waiting).to_have_text(f"Waiting to go out: {n} {'record' if n == 1 else 'records'}")

    def read_queue_file(self, content: bytes) -> None:
        """Read a saved queue back on the page about this phone."""
        self.page.goto("/me")
        chooser = self.page.get_by_label("Read a file back")
        chooser.set_input_files({"name": "queue.json", "mimeType": "application/json", "buffer": content})
        expect(
            self.page.get_by_role("status")
            .filter(has_text="added")
            .or_(self.page.get_by_role("status").filter(has_text="here already"))
        ).to_be_visible()

    def club_id(self) -> str:
        club: str = self.page.evaluate(
            "fetch('/api/v1/session').then((a) => a.json()).then((s) => s.club.id)"
        )
        return club

    def puts(self, path: str) -> list[str]:
        """The writes to addresses that contain a path."""
        return [one for one in self.heard.requests if one.startswith("PUT ") and path in one]

    def now_ms(self) -> float:
        """A clock that only ever goes forward, for the time between two requests."""
        return time.monotonic() * 1000

    def end_session_elsewhere(self) -> int:
        """End this phone's session at the service behind its back; answers the status."""
        cookies = "; ".join(f"{one['name']}={one['value']}" for one in self.context.cookies())
        headers = {"Cookie": cookies, "X-Whetpanel": "1"}
        return requests.delete(f"{self.url}/api/v1/session", headers=headers, timeout=30).status_code

    def close(self) -> None:
        """Put the phone away. Nothing may have gone wrong unseen, and nothing may have gone elsewhere."""
        self.context.close()
        assert [] == self.heard.complaints
        elsewhere = [one for one in self.heard.requests if not _is_own(one.split(" ", 1)[1], self.url)]
        assert [] == elsewhere


def _is_own(address: str, own: str) -> bool:
    parts = urlsplit(address)
    return parts.scheme in ("blob", "data") or f"{parts.scheme}://{parts.netloc}" == own
