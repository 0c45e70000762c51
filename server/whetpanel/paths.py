"""Where the built PWA, the migrations and the demo loader lie: in the wheel or in the checkout."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent
_CHECKOUT = _PACKAGE.parents[1]


def _find(wheel_name: str, checkout_name: str) -> Path:
    for path in (_PACKAGE / "_data" / wheel_name, _CHECKOUT / checkout_name):
        if path.is_dir():
            return path
    raise FileNotFoundError(f"{checkout_name} was neither packaged nor built; run pip install again")


def pwa_dir() -> Path:
    """The built PWA."""
    return _find("pwa", "pwa/dist")


def migrations_dir() -> Path:
    """The Alembic environment."""
    return _find("migrations", "migrations")


def seed_dir() -> Path:
    """The demo club and its loader."""
    return _find("seed", "seed")
