"""What went off a face since its last trial. The truth here is algebra: a stone whose every loss is known."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import hypothesis.strategies as st
import pytest
from hypothesis import given

from whetpanel.core.depth import FACES, FaceHistory, faces_to_confirm, gone_since_trial, history_from

DAY_0 = datetime(2026, 3, 1, tzinfo=UTC)

losses = st.lists(
    st.tuples(st.sampled_from(FACES), st.integers(0, 1500), st.booleans(), st.booleans()),
    min_size=1,
    max_size=8,
)
"""What happens to a stone, day by day: which face, µm lapped off it, whether it is measured then, whether tried."""


def lived(days: list[tuple[str, int, bool, bool]]) -> tuple[FaceHistory, dict[str, float | None]]:
    """A stone of 30 mm whose every lapping is logged and every measuring exact; and what each face truly lost."""
    trials, measured, lapped = [], [], []
    mm = 30.0
    lost: dict[str, float | None] = dict.fromkeys(FACES)
    for day, (face, um, measures, tries) in enumerate(days):
        at = DAY_0 + timedelta(days=day)
        if um:
            mm -= um / 1000
            lapped.append((face, at, float(um), mm if measures else None))
            if (before := lost[face]) is not None:
                lost[face] = before + um / 1000
        elif measures:
            measured.append((at, mm))
        if tries:
            trials.append((face, at + timedelta(hours=1), mm))
            lost[face] = 0.0
    return history_from(trials, measured, lapped), lost


@given(losses)
def test_of_a_stone_whose_every_loss_is_logged_each_face_is_known_exactly(days) -> None:
    """However often it was measured between, and whatever came off the other face."""
    history, lost = lived(days)

    for face in FACES:
        gone = gone_since_trial(face, history)
        if lost[face] is None:
            assert gone is None
        elif gone is None:
            assert lost[face] == 0
        else:
            assert lost[face] == pytest.approx(gone.gone_mm, abs=1e-9)


@given(losses, st.randoms(use_true_random=False))
def test_the_order_of_records_does_not_matter(days, rng) -> None:
    """They come from several phones."""
    history, _ = lived(days)
    trials, measured, lapped = list(history.trials), list(history.measured), list(history.lapped)
    for some in (trials, measured, lapped):
        rng.shuffle(some)
    shuffled = FaceHistory(tuple(trials), tuple(measured), tuple(lapped))

    for face in FACES:
        one, other = gone_since_trial(face, history), gone_since_trial(face, shuffled)
        assert (one is None) == (other is None)
        if one is not None and other is not None:
            assert one.gone_mm == pytest.approx(other.gone_mm, abs=1e-9)
            assert (one.lapped, one.since) == (other.lapped, other.since)


def test_a_club_that_allows_more_depth_asks_for_no_more_confirming() -> None:
    """And a stone that has lost just the club's depth has not gone beyond it."""
    history = history_from([("front", DAY_0, 20.0)], [(DAY_0 + timedelta(days=1), 18.5)], [])

    asked = [len(faces_to_confirm(history, mm)) for mm in (0.5, 1.0, 1.5, 2.0)]

    assert [1, 1, 0, 0] == asked
    assert all(more >= less for more, less in pairwise(asked))


def test_what_is_not_measured_is_not_guessed() -> None:
    """A trial without a thickness and no lapping since: nothing is known, and nothing is asked."""
    history = history_from([("front", DAY_0, None)], [(DAY_0 + timedelta(days=1), 12.0)], [])

    assert gone_since_trial("front", history) is None
