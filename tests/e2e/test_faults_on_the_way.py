"""What can go wrong between phone and service. In every story each record ends on the service exactly once."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Route, expect

from tests.e2e.club import Club, Member
from tests.e2e.phone import Phone
from tests.e2e.waiting import some_trials, wait_on

pytestmark = pytest.mark.browser

TRIALS = "**/api/v1/trials/*"


def only_writes(act: Callable[[Route], None]) -> Callable[[Route], None]:
    return lambda route: act(route) if route.request.method == "PUT" else route.continue_()


def test_a_record_whose_answer_was_lost_is_sent_again_and_exists_once(
    club: Club, tester: Member, phone: Phone
) -> None:
    """The service is killed after it has committed and before the phone hears of it."""
    trials = some_trials(club, 1)
    wait_on(phone, tester, trials)
    phone.expect_waiting(len(trials))
    lost = []

    def lose(route: Route) -> None:
        lost.append(route.fetch().status)
        club.service.kill()
        route.abort("connectionreset")

    phone.context.route(TRIALS, only_writes(lose))
    phone.go_online()
    expect(phone.page.get_by_text("tried 1 time")).to_have_count(1)
    phone.expect_waiting(1)
    assert [201] == lost

    phone.context.unroute(TRIALS)
    club.service.start()
    club.once(tester, trials)
    phone.sync_now()
    phone.expect_waiting(0)
    assert len(phone.puts("/trials/")) >= 2
    club.once(tester, trials)


def test_a_service_in_trouble_gets_time_and_then_everything(club: Club, tester: Member, phone: Phone) -> None:
    """500 for one, 503 with Retry-After for the next; the phone waits as asked, keeps all, and sends all."""
    trials = some_trials(club, 5)
    wait_on(phone, tester, trials)
    phone.expect_waiting(len(trials))
    answers = [500, 503, 500]
    asked: list[float] = []

    def trouble(route: Route) -> None:
        asked.append(phone.now_ms())
        if not answers:
            route.continue_()
            return
        status = answers.pop(0)
        headers = {"Retry-After": "4"} if status == 503 else {}
        route.fulfill(status=status, headers=headers, content_type="text/plain", body="in trouble")

    phone.context.route(TRIALS, only_writes(trouble))
    phone.go_online()
    phone.expect_waiting(0)
    assert [] == answers
    # Nothing is sent between the 503 and the end of the time it asked for, which is longer than a first backoff.
    assert asked[2] - asked[1] >= 4000
    club.once(tester, trials)


def test_a_service_killed_in_the_middle_loses_and_doubles_nothing(
    club: Club, tester: Member, phone: Phone
) -> None:
    """SIGKILL after the fourth of twelve records, then a start on the same data."""
    trials = some_trials(club, 12)
    wait_on(phone, tester, trials)
    phone.expect_waiting(len(trials))
    sent = []

    def kill_after_four(route: Route) -> None:
        sent.append(route.request.url)
        if len(sent) == 4:
            club.service.kill()
        route.continue_()

    phone.context.route(TRIALS, only_writes(kill_after_four))
    phone.go_online()
    phone.expect_waiting(9)
    club.service.start()
    phone.sync_now()
    phone.expect_waiting(0)
    club.once(tester, trials)


def test_a_queue_outlives_an_ended_session(club: Club, tester: Member, phone: Phone) -> None:
    """401 in the middle: what waits is kept, the phone asks to sign in, and then all arrive."""
    trials = some_trials(club, 6)
    wait_on(phone, tester, trials)
    phone.expect_waiting(len(trials))
    sent = []

    def end_after_three(route: Route) -> None:
        sent.append(route.request.url)
        if len(sent) == 4:
            assert phone.end_session_elsewhere() == 204
        route.continue_()

    phone.context.route(TRIALS, only_writes(end_after_three))
    phone.go_online()
    expect(phone.page.get_by_text("Sign in again to send 3 records.")).to_be_visible()
    phone.expect_waiting(3)
    phone.page.reload()
    phone.expect_waiting(3)

    phone.page.get_by_role("link", name="Sign in").tap()
    phone.fill_in_at_the_door(tester)
    expect(phone.page.get_by_role("heading", name="Bench")).to_be_visible()
    phone.expect_waiting(0)
    club.once(tester, trials)
