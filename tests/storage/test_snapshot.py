"""A copy of a club is taken from one state, however long it takes and whoever writes meanwhile."""

from sqlalchemy import func, select

from tests.conftest import ClubHouse, new_id
from whetpanel.storage.schema import JournalEntry, Stone, Trial


def test_a_snapshot_sees_nothing_that_comes_in_while_it_is_read(house: ClubHouse) -> None:
    """A trial of a new stone arrives between two reads: neither is in the later read, and both are in the next look.

    PostgreSQL's default isolation would show them (PostgreSQL manual, 13.2.1 Read Committed), SQLite's would not.
    """
    house.stone()
    blade = house.blade("white_carbon")

    def counts(model: type[Stone] | type[Trial] | type[JournalEntry]) -> int:
        return session.execute(select(func.count()).select_from(model)).scalar_one()

    with house.database.snapshot() as session:
        before = counts(Stone), counts(Trial), counts(JournalEntry)
        late = house.stone()
        assert house.testers[0].put(f"/trials/{new_id()}", house.trial_body(late, blade)).status_code == 201
        after = counts(Stone), counts(Trial), counts(JournalEntry)
    with house.database.snapshot() as session:
        then = counts(Stone), counts(Trial), counts(JournalEntry)

    assert before == after
    assert (before[0] + 1, before[1] + 1, before[2] + 2) == then


def test_the_next_reader_has_the_usual_isolation(house: ClubHouse) -> None:
    """The connection goes back to the pool as it was: an ordinary write after a snapshot is taken and seen."""
    with house.database.snapshot() as session:
        session.execute(select(func.count()).select_from(Stone)).scalar_one()

    stone = house.stone()

    assert 200 == house.dealer.get(f"/stones/{stone}").status_code
