"""Opens files. What is in them is read by ``whetpanel.core.panel_tables``."""

from pathlib import Path

from whetpanel.errors import Invalid


def read_text(path: Path) -> str:
    """The file's text. Raises Invalid when it cannot be read or is not UTF-8."""
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise Invalid(f"{path.name} cannot be read: {error.strerror}.") from None
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise Invalid(f"{path.name}, line {line}: this is not UTF-8 text. Save the file as UTF-8.") from None
