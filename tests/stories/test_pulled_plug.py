"""Killing the service in the middle of many writes loses none that was answered."""

import threading
from pathlib import Path

import requests

from tests.conftest import new_id
from tests.service import PASSWORD, running_club

N_WRITERS = 8
N_EACH = 125


def test_a_killed_service_has_kept_every_answered_write(tmp_path: Path) -> None:
    """A thousand writes by eight senders; SIGKILL after some three hundred answers; then the service starts again.

    Every record whose answer arrived is there. What was not answered is sent again, as a phone does, and in the
    end each of the thousand exists once.
    """
    with running_club(tmp_path) as service:
        answer = requests.post(
            f"{service.url}/api/v1/session?kind=bearer",
            json={"sign_in_name": "steward", "password": PASSWORD}, timeout=10,
        )  # fmt: skip
        headers = {"Authorization": f"Bearer {answer.json()['token']}"}
        lots = {new_id(): f"K{n}" for n in range(N_WRITERS * N_EACH)}
        answered: set[str] = set()
        enough = threading.Event()

        def put(session: requests.Session, lot: str) -> int:
            body = {"code": lots[lot], "name": "A lot"}
            return session.put(
                f"{service.url}/api/v1/lots/{lot}", json=body, headers=headers, timeout=10
            ).status_code

        def send(part: list[str]) -> None:
            with requests.Session() as session:
                for lot in part:
                    try:
                        status = put(session, lot)
                    except requests.RequestException:
                        return
                    assert status == 201
                    answered.add(lot)
                    if len(answered) >= 300:
                        enough.set()

        ids = list(lots)
        threads = [threading.Thread(target=send, args=(ids[n::N_WRITERS],)) for n in range(N_WRITERS)]
        for thread in threads:
            thread.start()
        assert enough.wait(60)
        service.kill()
        for thread in threads:
            thread.join()
        assert 300 <= len(answered) < len(lots)  # it really was killed in the middle

        service.start()

        def kept() -> list[str]:
            url: str | None = f"{service.url}/api/v1/lots?limit=500"
            found: list[str] = []
            while url is not None:
                page = requests.get(url, headers=headers, timeout=10)
                found += [lot["id"] for lot in page.json()["items"]]
                url = service.url + page.links["next"]["url"] if "next" in page.links else None
            return found

        assert set() == answered - set(kept())
        with requests.Session() as session:
            again = {put(session, lot) for lot in ids}
        assert {200, 201} == again
        assert sorted(ids) == sorted(kept())
