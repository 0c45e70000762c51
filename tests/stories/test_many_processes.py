"""One setting moves a club to PostgreSQL; then any number of processes serve it side by side."""

import hashlib
import io
import threading
from pathlib import Path

import pytest
import requests
from PIL import Image
from sqlalchemy import create_engine, text

from tests import postgres
from tests.conftest import new_id
from tests.service import PASSWORD, Service, free_port

N_WRITERS = 6
N_EACH = 20


@pytest.fixture
def shared_database(postgres_folder: str) -> str:
    admin = create_engine(postgres.address(postgres_folder, "template1"), isolation_level="AUTOCOMMIT")
    with admin.connect() as connection:
        connection.execute(text("CREATE DATABASE many_processes TEMPLATE postgres"))
    admin.dispose()
    return postgres.address(postgres_folder, "many_processes")


@pytest.mark.postgres
def test_two_services_share_one_club(shared_database: str, tmp_path: Path) -> None:
    """Writers on both; a reader that follows one of them sees every record once, in one order, and each photo.

    Each service has a folder of its own: they share the database and nothing else, as two machines would.
    """
    services = []
    for name in ("one", "two"):
        folder = tmp_path / name
        folder.mkdir()
        services.append(Service(folder, free_port(), database_url=shared_database))
    one, two = services
    one.command("create-club", "hill", "--name", "Hill club", "--steward", "steward", "--password-env", "CLUB_PASSWORD")
    try:
        for service in services:
            service.start()
        signed = requests.post(
            f"{one.url}/api/v1/session?kind=bearer", json={"sign_in_name": "steward", "password": PASSWORD}, timeout=10
        )
        headers = {"Authorization": f"Bearer {signed.json()['token']}"}
        start = requests.get(f"{one.url}/api/v1/changes?limit=1000", headers=headers, timeout=10).json()["next_after"]
        made: list[str] = []

        def write(n: int) -> None:
            with requests.Session() as session:
                for _ in range(N_EACH):
                    lot = new_id()
                    answer = session.put(
                        f"{services[n % 2].url}/api/v1/lots/{lot}",
                        json={"code": f"P{lot[-12:]}", "name": "A lot"}, headers=headers, timeout=30,
                    )  # fmt: skip
                    assert answer.status_code == 201, answer.text
                    made.append(lot)

        threads = [threading.Thread(target=write, args=(n,)) for n in range(N_WRITERS)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        picture = io.BytesIO()
        Image.new("RGB", (60, 40), (90, 80, 70)).save(picture, "PNG")
        sha256 = hashlib.sha256(picture.getvalue()).hexdigest()
        sent = requests.put(
            f"{one.url}/api/v1/photos/{sha256}", data=picture.getvalue(),
            headers={**headers, "Content-Type": "image/png"}, timeout=10,
        )  # fmt: skip

        page = requests.get(f"{two.url}/api/v1/changes?after={start}&limit=1000", headers=headers, timeout=10).json()
        seen = requests.get(f"{two.url}/api/v1/photos/{sha256}", headers=headers, timeout=10)

        assert N_WRITERS * N_EACH == len(made)
        assert sorted(made) == sorted(change["id"] for change in page["changes"])
        assert list(range(start + 1, start + 1 + len(made))) == [change["revision"] for change in page["changes"]]
        assert (201, 200) == (sent.status_code, seen.status_code)
    finally:
        for service in services:
            service.stop()
