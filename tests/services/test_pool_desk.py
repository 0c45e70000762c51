"""Pooled results are made once, shared, and never keep a reader or a writer waiting."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from tests.conftest import ClubHouse, new_id
from whetpanel.core.pooling import WarmState
from whetpanel.services.pool_desk import PoolDesk
from whetpanel.services.pool_inputs import Inputs
from whetpanel.services.pool_scale import PooledScale, pool_scale


class Gate:
    """Fits as the real one does, but only while it is open; counts its fits."""

    def __init__(self) -> None:
        self.open = threading.Event()
        self.open.set()
        self.n_fits = 0

    def __call__(self, inputs: Inputs, warm: WarmState | None) -> PooledScale:
        assert self.open.wait(30)
        self.n_fits += 1
        return pool_scale(inputs, warm)


@contextmanager
def a_desk(house: ClubHouse, gate: Gate, wait_s: float) -> Iterator[PoolDesk]:
    desk = PoolDesk(house.database, house.clock, wait_s=wait_s, pool=gate)
    try:
        yield desk
    finally:
        gate.open.set()
        desk.close()


def club_of(house: ClubHouse) -> str:
    found: str = house.dealer.get("/club").json["id"]
    return found


def send_trial(house: ClubHouse, stone: str, blade: str) -> None:
    answer = house.testers[0].put(f"/trials/{new_id()}", house.trial_body(stone, blade))
    assert answer.status_code == 201


def test_a_reader_gets_the_last_result_while_a_new_one_is_made(house: ClubHouse) -> None:
    """And a trial comes in all the while: the fit holds no lock of the database."""
    stone, blade, gate = house.stone(), house.blade("white_carbon"), Gate()
    send_trial(house, stone, blade)
    with a_desk(house, gate, wait_s=0.05) as desk:
        first = desk.pooled(club_of(house), "knife")
        gate.open.clear()
        send_trial(house, stone, blade)

        meanwhile = desk.pooled(club_of(house), "knife")
        send_trial(house, stone, blade)
        gate.open.set()

        assert (False, True) == (first.behind, meanwhile.behind)
        assert first.revision == meanwhile.revision
        fresh = meanwhile
        for _ in range(200):
            fresh = desk.pooled(club_of(house), "knife")
            if not fresh.behind:
                break
        assert not fresh.behind
        counts = {scale["scale"]: scale["n_trials"] for scale in fresh.scales}
        assert 3 == counts["hardness"]


def test_a_result_is_made_once_for_each_state(house: ClubHouse) -> None:
    """Many readers at once start one fit; a second process finds the result in the table and starts none."""
    stone, blade, gate = house.stone(), house.blade("white_carbon"), Gate()
    send_trial(house, stone, blade)
    club = club_of(house)
    with a_desk(house, gate, wait_s=5) as desk:
        threads = [threading.Thread(target=desk.pooled, args=(club, "knife")) for _ in range(6)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        n_scales = len(desk.pooled(club, "knife").scales)

        assert n_scales == gate.n_fits
    other = Gate()
    with a_desk(house, other, wait_s=5) as second_process:
        second_process.pooled(club, "knife")

        assert 0 == other.n_fits


def test_a_fit_that_fails_is_told_and_tried_again(house: ClubHouse) -> None:
    """A mistake of ours must not hide behind an old result for ever, nor stop the desk."""
    stone, blade = house.stone(), house.blade("white_carbon")
    send_trial(house, stone, blade)
    calls = []

    def fails_once(inputs: Inputs, warm: WarmState | None) -> PooledScale:
        calls.append(inputs)
        if len(calls) == 1:
            raise ArithmeticError("a bad day")
        return pool_scale(inputs, warm)

    desk = PoolDesk(house.database, house.clock, wait_s=5, pool=fails_once)
    try:
        raised = False
        try:
            desk.pooled(club_of(house), "knife")
        except ArithmeticError:
            raised = True

        assert raised
        assert not desk.pooled(club_of(house), "knife").behind
    finally:
        desk.close()


def test_whole_results_are_kept_until_a_record_comes_in(small_house: ClubHouse) -> None:
    """The same question gets the very same answer; another stone, another purpose or a new trial gets a new one."""
    house = small_house
    stone, other, blade = house.stone(), house.stone(), house.blade("white_carbon")
    send_trial(house, stone, blade)
    club = club_of(house)
    with a_desk(house, Gate(), wait_s=1) as desk:
        first = desk.results(club, "knife", [stone])
        again = desk.results(club, "knife", [stone])
        wider = desk.results(club, "knife", [stone, other])
        send_trial(house, stone, blade)
        later = desk.results(club, "knife", [stone, other])

    assert first is again
    assert other not in first["hardness"].stone_names
    assert other in wider["hardness"].stone_names
    assert (1, 2) == tuple(len(one["hardness"].trial_ids) for one in (wider, later))
