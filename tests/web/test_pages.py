"""The built app as the service hands it out: its shell everywhere, compressed, guarded, cached as it may be."""

import gzip
import re
from pathlib import Path

import pytest

from tests.conftest import ClubHouse
from whetpanel.paths import pwa_dir


def test_every_screen_gets_the_shell(small_house: ClubHouse) -> None:
    """An address is a screen unless it is a file; a reload on any screen works. The shell itself is never stale."""
    client = small_house.app.test_client()
    shell = (pwa_dir() / "index.html").read_bytes()

    for path in ("/", "/stones", "/stones/0195a000-0000-7000-8000-000000000001", "/join/some-token"):
        answer = client.get(path)
        assert (path, 200, "no-cache") == (path, answer.status_code, answer.headers["Cache-Control"])
        assert shell == answer.data


def test_a_missing_file_is_missing(small_house: ClubHouse) -> None:
    """An old asset must not be answered with the shell, or a browser would try to run it."""
    client = small_house.app.test_client()

    assert [404, 404, 404] == [
        client.get(path).status_code for path in ("/assets/gone.js", "/favicon.ico", "/api/nowhere")
    ]


@pytest.mark.parametrize(
    "path", ["/../pyproject.toml", "/assets/../../package.json", "/%2e%2e/%2e%2e/pyproject.toml", "/..%2fpackage.json"]
)
def test_nothing_outside_the_built_app_is_served(small_house: ClubHouse, path: str) -> None:
    """Neither by dots nor by their encodings."""
    answer = small_house.app.test_client().get(path)

    assert b"whetpanel-pwa" not in answer.data
    assert b"[project]" not in answer.data


def test_scripts_come_compressed_and_may_be_kept_for_ever(small_house: ClubHouse) -> None:
    """Their names carry a hash of their content. What comes compressed is what comes plain."""
    client = small_house.app.test_client()
    script = re.search(r'src="(/assets/[^"]+\.js)"', client.get("/").text)
    assert script is not None

    plain = client.get(script[1])
    packed = client.get(script[1], headers={"Accept-Encoding": "gzip"})
    smallest = client.get(script[1], headers={"Accept-Encoding": "gzip, br"})

    assert ("gzip", "br") == (packed.headers["Content-Encoding"], smallest.headers["Content-Encoding"])
    assert plain.data == gzip.decompress(packed.data)
    assert ".gz" not in packed.headers.get("Content-Disposition", "")
    assert len(smallest.data) < len(plain.data)
    assert "immutable" in plain.headers["Cache-Control"]
    assert {"Accept-Encoding"} <= set(plain.vary)
    assert plain.content_type == packed.content_type


def test_the_browser_is_told_to_run_nothing_of_others(small_house: ClubHouse) -> None:
    """Scripts and styles from this service alone, no inline ones; the shell itself needs none."""
    answer = small_house.app.test_client().get("/")

    policy = answer.headers["Content-Security-Policy"]
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy
    assert "nosniff" == answer.headers["X-Content-Type-Options"]
    assert not re.search(r"<script(?![^>]*\bsrc=)[^>]*>", answer.text)
    assert " style=" not in answer.text


def test_the_health_check_asks_the_database(small_house: ClubHouse) -> None:
    """200 while it answers; 503 with Retry-After when it does not."""
    client = small_house.app.test_client()
    well = client.get("/healthz")
    small_house.database.dispose()
    url = str(small_house.database.engine.url).removeprefix("sqlite:///")
    Path(url).unlink()
    Path(url).mkdir()

    ill = client.get("/healthz")

    assert (200, "ok") == (well.status_code, well.json["status"])
    assert (503, "2") == (ill.status_code, ill.headers["Retry-After"])
