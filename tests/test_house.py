"""The picture of the house is true: imports point one way, on the server and in the PWA."""

import ast
import re
from pathlib import Path

import pytest

import whetpanel

SERVER = Path(whetpanel.__file__).parent
PWA = Path(__file__).parents[1] / "pwa" / "src"

MAY_IMPORT = {
    "app": {"web", "services", "storage", "documents", "core", "settings", "clock", "logs", "errors", "paths"},
    "cli": {"app", "web", "services", "storage", "documents", "core", "settings", "clock", "logs", "errors", "paths",
            "files", ""},
    "files": {"core", "errors", ""},
    "web": {"services", "core", "documents", "storage", "settings", "clock", "errors", "paths", ""},
    "services": {"storage", "documents", "core", "settings", "clock", "errors"},
    "storage": {"core", "errors", "clock"},
    "documents": {"core", "errors", "clock"},
    "core": {"errors"},
    "logs": {"errors"},
    "settings": {"errors"},
    "paths": {"errors"},
    "clock": {"errors"},
    "errors": set(),
    "": set(),
}  # fmt: skip
"""Room: the rooms it may import from. The empty name is the package itself (its version)."""

WEB_FROM_STORAGE = {"base", "photo_store"}
"""Web touches storage only to hold what create_app hands it; it never sees a row or writes SQL."""

CORE_LIBRARIES = {"numpy", "scipy", "jsonschema_rs"}

PWA_MAY_IMPORT = {
    "screens": {"screens", "parts", "sync", "store", "domain", "words", "styles", "constants"},
    "parts": {"parts", "domain", "words", "styles", "constants"},
    "sync": {"sync", "store", "api", "domain", "constants"},
    "store": {"store", "domain", "constants"},
    "api": {"api", "domain", "constants"},
    "domain": {"domain"},
    "words": {"words", "domain"},
}


def room_of(path: Path) -> str:
    first = path.relative_to(SERVER).parts[0]
    return "" if first == "__init__.py" else first.removesuffix(".py")


def imports_of(path: Path) -> list[tuple[str, str]]:
    """(room, module below the room) of each import of our own; ('library', name) of each other one."""
    package = ["whetpanel", *path.relative_to(SERVER).parts[:-1]]
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            stem = ".".join([*base, *([node.module] if node.module else [])])
            names = (
                [stem]
                if node.module and stem != "whetpanel"
                else [f"{stem}.{alias.name}" for alias in node.names]
            )
        for name in names:
            parts = name.split(".")
            if parts[0] != "whetpanel":
                found.append(("library", parts[0]))
            elif len(parts) == 1 or parts[1] == "__version__":
                found.append(("", ""))
            else:
                found.append((parts[1], ".".join(parts[2:])))
    return found


MODULES = sorted(SERVER.rglob("*.py"))


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SERVER)))
def test_imports_point_one_way(path: Path) -> None:
    """A room imports only from the rooms below it."""
    room = room_of(path)
    assert room in MAY_IMPORT, f"{room} is a room that the picture does not know"
    for other, module in imports_of(path):
        if other in ("library", room):
            continue
        assert other in MAY_IMPORT[room], f"{room} may not import {other}"
        if room == "web" and other == "storage":
            assert module in WEB_FROM_STORAGE, f"web may not import storage.{module}"


@pytest.mark.parametrize(
    "path", [p for p in MODULES if room_of(p) == "core"], ids=lambda p: str(p.relative_to(SERVER))
)
def test_core_stays_pure(path: Path) -> None:
    """Core knows the standard library and three numerical libraries; no clock, no files, no network."""
    for kind, name in imports_of(path):
        if kind != "library":
            continue
        assert name in CORE_LIBRARIES or name in __import__("sys").stdlib_module_names, (
            f"core may not import {name}"
        )
        # A moment may be a value; what the time is now, core never asks (see the next test but one).
        assert name not in {"time", "os", "pathlib", "socket", "urllib", "sqlite3"}, f"core is pure: no {name}"


def test_only_one_file_calls_the_typesetter() -> None:
    """Rendering can be replaced in one place."""
    callers = [str(p.relative_to(SERVER)) for p in MODULES if ("library", "typst") in imports_of(p)]

    assert ["documents/render.py"] == callers


def test_now_is_asked_in_one_place() -> None:
    """datetime.now and time.time stand in clock.py alone, so a test can pass another clock."""
    pattern = re.compile(r"datetime\.now\(|datetime\.utcnow\(|time\.time\(|date\.today\(")
    callers = [str(p.relative_to(SERVER)) for p in MODULES if pattern.search(p.read_text(encoding="utf-8"))]

    assert ["clock.py"] == callers


def pwa_imports(path: Path) -> list[str]:
    """The rooms that a module of the PWA imports from; 'library' for packages."""
    text = path.read_text(encoding="utf-8")
    found = []
    for name in re.findall(r"""(?<!["'])\b(?:from|import)\s*\(?\s*["']([^"']+)["']""", text):
        if not name.startswith("."):
            found.append("library:" + name)
            continue
        target = (path.parent / name).resolve()
        if target.is_relative_to(PWA):
            found.append(target.relative_to(PWA).parts[0].split(".")[0])
    return found


PWA_MODULES = sorted(
    p for p in PWA.rglob("*") if p.suffix in {".ts", ".tsx"} and not p.name.endswith(".d.ts")
)


#: Pure ones: a rule's conditions are judged, and text is cut into cells, without browser, store or network.
DOMAIN_LIBRARIES = {"library:@cfworker/json-schema", "library:papaparse"}


@pytest.mark.parametrize("path", PWA_MODULES, ids=lambda path: str(path.relative_to(PWA)))
def test_the_pwa_points_one_way(path: Path) -> None:
    """Screens read and write locally; sync carries; the domain knows nothing of browser, store or network."""
    room = path.relative_to(PWA).parts[0]
    if room not in PWA_MAY_IMPORT:
        return  # main, app, constants and the worker: they wire the rooms together
    for other in pwa_imports(path):
        if other.startswith("library:"):
            assert room != "domain" or other in DOMAIN_LIBRARIES, f"domain may not import {other}"
            continue
        assert other in PWA_MAY_IMPORT[room], f"{room} may not import {other}"


def test_screens_never_fetch() -> None:
    """That one habit is what makes the app honest without a signal."""
    callers = [
        str(p.relative_to(PWA)) for p in PWA_MODULES
        if p.relative_to(PWA).parts[0] in {"screens", "parts", "domain", "store"}
        and re.search(r"\bfetch\(|XMLHttpRequest|navigator\.sendBeacon", p.read_text(encoding="utf-8"))
    ]  # fmt: skip

    assert [] == callers
