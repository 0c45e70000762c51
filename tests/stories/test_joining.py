"""From an invitation to a member, once."""

import threading

from tests.conftest import PASSWORD, ClubHouse


def joined(house: ClubHouse, token: str, name: str) -> int:
    client = house.app.test_client()
    answer = client.post(f"/api/v1/joining/{token}", json={"sign_in_name": name, "password": PASSWORD})
    return answer.status_code


def test_an_invited_person_joins_and_is_signed_in(house: ClubHouse) -> None:
    """The link tells the club, makes a member with the roles that were meant, and then is used up."""
    made = house.steward.post("/invitations", {"display_name": "Noor Fenwhistle", "roles": ["tester"]})
    client = house.app.test_client()
    token = made.json["token"]

    looked = client.get(f"/api/v1/joining/{token}")
    answer = client.post(f"/api/v1/joining/{token}", json={"sign_in_name": "noor", "password": PASSWORD})
    session = client.get("/api/v1/session")

    assert (201, True) == (made.status_code, made.json["url"].endswith(f"/join/{token}"))
    assert made.json["qr_svg"].startswith("<svg")
    assert ("Hill club", "Noor Fenwhistle") == (looked.json["club_name"], looked.json["display_name"])
    assert (201, ["tester"]) == (answer.status_code, answer.json["member"]["roles"])
    assert "noor" == session.json["member"]["sign_in_name"]
    assert 404 == client.get(f"/api/v1/joining/{token}").status_code
    assert "noor" in [member["sign_in_name"] for member in house.dealer.get("/members").json["items"]]


def test_one_link_makes_one_member_however_fast_it_is_tapped(house: ClubHouse) -> None:
    """Six at once: one joins."""
    token = house.steward.post("/invitations", {"display_name": "Noor", "roles": ["tester"]}).json["token"]
    statuses: list[int] = []

    def tap(n: int) -> None:
        statuses.append(joined(house, token, f"noor{n}"))

    threads = [threading.Thread(target=tap, args=(n,)) for n in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert [201] + [404] * 5 == sorted(statuses)


def test_a_taken_name_or_a_short_password_leaves_the_link_open(house: ClubHouse) -> None:
    """409 and 422 say what to mend; the invitation still works."""
    token = house.steward.post("/invitations", {"display_name": "Noor", "roles": ["tester"]}).json["token"]
    client = house.app.test_client()

    taken = client.post(f"/api/v1/joining/{token}", json={"sign_in_name": "tester1", "password": PASSWORD})
    short = client.post(f"/api/v1/joining/{token}", json={"sign_in_name": "noor", "password": "short"})

    assert (409, 422) == (taken.status_code, short.status_code)
    assert 201 == joined(house, token, "noor")


def test_a_withdrawn_or_old_invitation_is_over(house: ClubHouse) -> None:
    """The steward takes one back; another runs out after two weeks; only stewards invite."""
    made = house.steward.post("/invitations", {"display_name": "Noor", "roles": ["tester"]}).json
    old = house.steward.post("/invitations", {"display_name": "Ase", "roles": ["tester"]}).json
    house.steward.post(f"/invitations/{made['id']}/withdraw")
    refused = house.dealer.post("/invitations", {"display_name": "X", "roles": ["steward"]})
    withdrawn = joined(house, made["token"], "noor")
    house.clock.now = house.clock.now.replace(day=20)
    over = joined(house, old["token"], "ase")

    assert (404, 404) == (withdrawn, over)
    assert 403 == refused.status_code
