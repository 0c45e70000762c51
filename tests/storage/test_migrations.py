"""Migrations make exactly the tables that the models describe, and work with a club's records in them."""

from pathlib import Path

from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import inspect, select

from tests.conftest import ClubHouse, new_id
from whetpanel.paths import migrations_dir
from whetpanel.storage.base import Base, make_engine
from whetpanel.storage.migrating import _config, migrate, migrate_down, newest
from whetpanel.storage.schema import ClubRevision, JournalEntry, Trial


def filled(house: ClubHouse) -> str:
    """A club with a trial; returns the trial's id."""
    trial = new_id()
    body = house.trial_body(house.stone(), house.blade("white_carbon"))
    assert house.testers[0].put(f"/trials/{trial}", body).status_code == 201
    return trial


def test_the_models_ask_for_nothing_more(database_url: str) -> None:
    """If this fails, a table changed without its migration: see the chore in DEVELOPERS.md."""
    engine = make_engine(database_url)
    with engine.connect() as connection:
        difference = compare_metadata(MigrationContext.configure(connection), Base.metadata)
    engine.dispose()

    assert [] == difference


def test_migrating_again_keeps_every_record(house: ClubHouse, database_url: str) -> None:
    """Bringing a database up to date that is up to date changes nothing."""
    trial = filled(house)

    migrate(database_url, migrations_dir())

    with house.database.read() as session:
        assert [trial] == list(session.execute(select(Trial.id)).scalars())


def test_each_step_back_and_forth_works_with_records_in_it(house: ClubHouse, database_url: str) -> None:
    """Every migration is taken back and done again on a club that has records, down to the first and up to the last."""
    trial = house.dealer.get(f"/trials/{filled(house)}").json
    stone, member = house.stone(code="S-77"), house.testers[0]
    wish = {
        "purpose": "knife",
        "blades": [{"steel": "white_carbon"}],
        "finish": "clean",
        "skill": "practised",
    }
    listed, kept = new_id(), {"name": "For a knife", "wish": wish, "stone_ids": [trial["stone_id"]]}
    assert house.dealer.put(f"/shortlists/{listed}", kept).status_code == 201
    offer = {"stone_id": stone, "state": "kept_back", "cost": 12.5, "price": None, "notes": "A fissure."}
    assert house.dealer.put(f"/offers/{stone}", offer).status_code == 201
    assert member.put(f"/consents/{member.id}", {"names_on_slips": True}).status_code == 201
    paths = (f"/offers/{stone}", f"/consents/{member.id}", f"/shortlists/{listed}")
    before = {path: house.dealer.get(path).json for path in paths}
    scripts = list(ScriptDirectory.from_config(_config(migrations_dir())).walk_revisions())

    for script in scripts:
        if script.down_revision is None:
            continue
        migrate_down(database_url, migrations_dir(), str(script.down_revision))
    with house.database.read() as session:
        n_before = session.execute(select(ClubRevision.revision)).scalar_one()
        n_entries = len(session.execute(select(JournalEntry.revision)).all())
    migrate(database_url, migrations_dir())

    with house.database.read() as session:
        assert n_before == session.execute(select(ClubRevision.revision)).scalar_one()
        assert n_entries == len(session.execute(select(JournalEntry.revision)).all())
    assert before == {path: house.dealer.get(path).json for path in before}


def test_the_first_migration_can_be_undone(database_url: str) -> None:
    """Down to base leaves nothing but the migration tool's own table; up again makes it whole."""
    migrate_down(database_url, migrations_dir(), "base")
    engine = make_engine(database_url)
    left = inspect(engine).get_table_names()
    engine.dispose()
    migrate(database_url, migrations_dir())

    assert ["alembic_version"] == left


def test_every_migration_says_what_it_changes() -> None:
    """Its docstring speaks of the club, not only of columns."""
    for script in ScriptDirectory.from_config(_config(migrations_dir())).walk_revisions():
        assert len(script.doc) > 30, script.revision
    assert newest(migrations_dir()) is not None


def test_a_database_in_a_folder_that_is_not_there_is_made(tmp_path: Path) -> None:
    """The first start on a fresh machine."""
    url = f"sqlite:///{tmp_path / 'new' / 'deep' / 'whetpanel.sqlite3'}"

    migrate(url, migrations_dir())

    assert (tmp_path / "new" / "deep" / "whetpanel.sqlite3").exists()
