"""The documentation is true: settings, commands, errors and house are all in it, and its own commands exist."""

import re
from dataclasses import fields
from pathlib import Path

import pytest

from whetpanel import errors, settings
from whetpanel.cli import main
from whetpanel.web.errors import TABLE

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_every_setting_is_documented_and_no_other() -> None:
    """The table of settings and the dataclass name the same ones."""
    documented = set(re.findall(r"^\| `(WHETPANEL_[A-Z0-9_]+)`", GUIDE, re.MULTILINE))

    assert {settings.env_name(field.name) for field in fields(settings.Settings)} == documented


def test_every_command_says_what_it_does() -> None:
    """Each has a help text; those a user needs stand in the README."""
    assert all(command.help for command in main.commands.values())
    mentioned = set(re.findall(r"whetpanel ([a-z-]+)", README))
    assert {"demo", "serve", "migrate", "create-club", "assess", "pool", "agreement"} <= mentioned
    assert mentioned <= set(main.commands)


def test_every_refusal_has_a_status() -> None:
    """A refusal that the table does not know would end as a mistake of ours."""

    def family(kind: type[errors.Refusal]) -> set[type[errors.Refusal]]:
        return {kind}.union(*(family(child) for child in kind.__subclasses__()))

    concrete = {kind for kind in family(errors.Refusal) if not kind.__name__.startswith("_")} - {
        errors.Refusal
    }
    unknown = {kind.__name__ for kind in concrete if not any(base in TABLE for base in kind.__mro__)}

    assert set() == unknown


def test_every_refusal_stands_in_the_tree() -> None:
    """The tree at the top of errors.py is complete."""
    drawn = set(re.findall(r"[├└]── ([A-Za-z]+)", errors.__doc__ or ""))
    defined = {
        name for name, thing in vars(errors).items()
        if isinstance(thing, type) and issubclass(thing, errors.WhetpanelError) and not name.startswith("_")
    }  # fmt: skip

    assert defined - {"WhetpanelError"} == drawn


@pytest.mark.parametrize(
    "place", re.findall(r"^\| `((?:server|migrations|pwa|seed|tests)[^`]*)`", GUIDE, re.MULTILINE)
)
def test_every_place_in_the_guide_exists(place: str) -> None:
    """The line per folder points to something."""
    assert (ROOT / place).exists()


def test_every_test_that_the_guide_names_exists() -> None:
    """The table of faults points to tests that are there."""
    sources = [
        path for place in ("tests", "pwa/tests") for path in (ROOT / place).rglob("*test*") if path.is_file()
    ]
    defined = {
        name
        for path in sources
        if path.suffix == ".py"
        for name in re.findall(r"def (test_\w+)\(", path.read_text())
    }
    named = set(re.findall(r"`(test_\w+)`", GUIDE))
    files = set(re.findall(r"`(\w+\.test\.ts|test_\w+\.py)`", GUIDE))

    assert set() == named - defined
    assert set() == files - {path.name for path in sources}
    assert named


def test_setting_names_that_mean_nothing_are_refused() -> None:
    """A typing slip in the environment is told, not ignored."""
    with pytest.raises(ValueError, match="WHETPANEL_DATABASE is not a setting"):
        settings.from_environment({"WHETPANEL_DATABASE": "x"})


def test_settings_read_their_own_kinds() -> None:
    """Numbers, yes and no, and paths come as such."""
    read = settings.from_environment(
        {"WHETPANEL_SESSION_DAYS": "7", "WHETPANEL_DEMO": "yes", "WHETPANEL_DATA_DIR": "somewhere"}
    )

    assert (7, True, Path("somewhere")) == (read.session_days, read.demo, read.data_dir)
    assert "sqlite:///somewhere/whetpanel.sqlite3" == read.database_url
