"""One frozen set of settings, read from the environment once, when the service starts."""

import os
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any


def _default_data_dir() -> Path:
    base = os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share"
    return Path(base) / "whetpanel"


@dataclass(frozen=True)
class Settings:
    """Every setting with its unit and default. The environment name is ``WHETPANEL_`` and the field in capitals."""

    data_dir: Path = Path()
    """Folder for the embedded database and the photos. Default: the user's data folder, ``whetpanel``."""
    database_url: str = ""
    """SQLAlchemy address of the database. Default: SQLite in the data folder. The one setting to change
    for PostgreSQL: ``postgresql+psycopg://user@host/name``."""
    public_url: str = ""
    """Address that QR codes and links carry, without a closing slash. Default: the address of the request."""
    demo: bool = False
    """Whether this service holds the invented demo club; the sign-in page then says so. Default: no."""
    session_days: int = 30
    """Days until a sign-in ends if it is not used. Default: 30."""
    cookie_secure: bool = False
    """Whether the session cookie is sent over https only, whatever the request came by. A request that came
    by https always gets such a cookie. Default: no."""
    trusted_proxies: int = 0
    """How many proxies in front may set X-Forwarded-For and -Proto. Default: none."""
    photo_max_bytes: int = 8_000_000
    """Largest photo taken, bytes. Default: 8 000 000."""
    body_max_bytes: int = 1_000_000
    """Largest JSON body taken, bytes. Default: 1 000 000."""
    argon2_memory_kib: int = 19_456
    """Memory of one password check, KiB. Default: 19 456, below the 65 536 of RFC 9106's second recommended
    option, since a club's machine may be small and several members may sign in at once."""
    argon2_rounds: int = 2
    """Passes of one password check. Default: 2."""
    sign_in_tries: int = 10
    """Wrong sign-ins for one name, within the window, before a wait is asked for. Default: 10."""
    sign_in_window_s: int = 900
    """Length of that window, seconds. Default: 900."""
    log_requests: bool = True
    """Whether each API request gets a line in the log. Default: yes."""
    log_format: str = "console"
    """``console`` for people, ``json`` for machines. Default: console."""

    def __post_init__(self) -> None:
        if self.data_dir == Path():
            object.__setattr__(self, "data_dir", _default_data_dir())
        if not self.database_url:
            object.__setattr__(self, "database_url", f"sqlite:///{self.data_dir / 'whetpanel.sqlite3'}")

    @property
    def photos_dir(self) -> Path:
        """Where photos lie, by content hash."""
        return self.data_dir / "photos"

    def with_(self, **changes: Any) -> "Settings":
        """The same settings with some of them changed."""
        return replace(self, **changes)


def _parse(name: str, kind: Any, text: str) -> Any:
    if kind is bool:
        word = text.strip().lower()
        if word in {"1", "yes", "true", "on"}:
            return True
        if word in {"0", "no", "false", "off", ""}:
            return False
        raise ValueError(f"{name} must be yes or no, not {text!r}")
    if kind is int:
        try:
            return int(text)
        except ValueError:
            raise ValueError(f"{name} must be a whole number, not {text!r}") from None
    return kind(text)


def env_name(field: str) -> str:
    """The environment variable that sets a field."""
    return "WHETPANEL_" + field.upper()


def from_environment(environ: Mapping[str, str] | None = None) -> Settings:
    """Read the settings; a name that starts with WHETPANEL_ and means nothing is refused, since it is a typing slip."""
    environ = os.environ if environ is None else environ
    known = {env_name(f.name): f for f in fields(Settings)}
    given: dict[str, Any] = {}
    for name, text in environ.items():
        if not name.startswith("WHETPANEL_") or name == "WHETPANEL_SKIP_PWA":
            continue
        field = known.get(name)
        if field is None:
            raise ValueError(f"{name} is not a setting; the settings are {', '.join(sorted(known))}")
        given[field.name] = _parse(name, field.type, text)
    return Settings(**given)
