"""Roles, blindness and clubs: who may see and do what."""

from pathlib import Path

from tests.conftest import PASSWORD, ClubHouse, new_id, sign_in, stone_body, test_settings
from whetpanel.services.creating_clubs import create_club


def test_a_tester_sees_others_trials_only_after_an_own_one(house: ClubHouse) -> None:
    """Blind until the own trial is in; then the panel's trials of that stone, and only of that stone."""
    stone, other_stone, blade = house.stone(), house.stone(), house.blade("white_carbon")
    first, second = house.testers[:2]
    theirs = new_id()
    first.put(f"/trials/{theirs}", house.trial_body(stone, blade))

    before = [
        second.get(path)
        for path in (f"/stones/{stone}/trials", f"/trials/{theirs}", f"/trials/{theirs}/versions")
    ]
    second.put(f"/trials/{new_id()}", house.trial_body(stone, blade))
    after = second.get(f"/stones/{stone}/trials")

    assert [(403, "blind")] * 3 == [(one.status_code, one.json["code"]) for one in before]
    assert (200, 2) == (after.status_code, len(after.json["items"]))
    assert 403 == second.get(f"/stones/{other_stone}/trials").status_code
    assert [] == [one for one in second.get("/trials").json["items"] if one["created_by"] != second.id]


def test_a_tester_cannot_take_in_stones_or_change_protocols(house: ClubHouse) -> None:
    """403, and a sentence that says who can."""
    tester = house.testers[0]
    stone = tester.put(f"/stones/{new_id()}", stone_body(house.lot_id))
    protocol = house.protocols["knife"]
    own = {
        key: protocol[key]
        for key in ("name", "purpose", "reference_steels", "steps", "scales", "observations")
    }
    change = house.dealer.put(f"/protocols/{protocol['id']}", own, version=1)

    assert (403, 403) == (stone.status_code, change.status_code)
    assert "the dealer" in stone.json["detail"]
    assert "the steward" in change.json["detail"]


def test_nobody_changes_another_members_trial(house: ClubHouse) -> None:
    """Not even the steward: a trial is its tester's word. The dealer can only leave it out, with a reason."""
    stone, blade, trial = house.stone(), house.blade("white_carbon"), new_id()
    house.testers[0].put(f"/trials/{trial}", house.trial_body(stone, blade))

    changed = house.steward.put(f"/trials/{trial}", house.trial_body(stone, blade, notes="Better"), version=1)
    excluded = house.dealer.post(f"/trials/{trial}/exclude", {"reason": "Blade was chipped"})

    assert 403 == changed.status_code
    assert (200, "Blade was chipped") == (excluded.status_code, excluded.json["excluded"]["reason"])
    assert 403 == house.testers[1].post(f"/trials/{trial}/exclude", {"reason": "Envy"}).status_code


def test_excluding_does_not_get_in_the_authors_way(house: ClubHouse) -> None:
    """A tester amends from the version in hand although the dealer has excluded the trial meanwhile."""
    stone, blade, trial = house.stone(), house.blade("white_carbon"), new_id()
    tester = house.testers[0]
    tester.put(f"/trials/{trial}", house.trial_body(stone, blade))
    house.dealer.post(f"/trials/{trial}/exclude", {"reason": "Which blade?"})

    amended = tester.put(f"/trials/{trial}", house.trial_body(stone, blade, notes="The white one"), version=1)
    included = house.dealer.post(f"/trials/{trial}/include")

    assert (200, "Which blade?") == (amended.status_code, amended.json["excluded"]["reason"])
    assert (None, 2) == (included.json["excluded"], included.json["version"])


def test_clubs_do_not_see_each_other(house: ClubHouse, tmp_path: Path) -> None:
    """A second club on the same service: its members find nothing of the first, under any address."""
    stone = house.stone()
    settings = test_settings("unused://", tmp_path)
    create_club(
        house.database, house.clock, settings, slug="dale", name="Dale club", steward_name="else",
        steward_display_name="Else", password=PASSWORD,
    )  # fmt: skip
    answer = house.app.test_client().post(
        "/api/v1/session?kind=bearer", json={"club": "dale", "sign_in_name": "else", "password": PASSWORD}
    )
    stranger = house.steward.__class__(house.app, "", "else", answer.json["token"])

    assert 404 == stranger.get(f"/stones/{stone}").status_code
    assert [] == stranger.get("/stones").json["items"]
    assert set() == {change["id"] for change in stranger.get("/changes").json["changes"]} & {
        change["id"] for change in house.dealer.get("/changes").json["changes"]
    }


def test_wrong_sign_ins_are_slowed_down(small_house: ClubHouse) -> None:
    """Ten wrong tries, then 429 with Retry-After, even with the right password; which part was wrong is not told."""
    client = small_house.app.test_client()

    def attempt(name: str, password: str) -> tuple[int, str]:
        answer = client.post("/api/v1/session", json={"sign_in_name": name, "password": password})
        return answer.status_code, answer.json.get("detail", "")

    unknown = attempt("nobody", PASSWORD)
    wrong = [attempt("tester1", "not the right one") for _ in range(10)]
    locked = client.post("/api/v1/session", json={"sign_in_name": "tester1", "password": PASSWORD})

    assert {unknown} == set(wrong)
    assert (429, "900") == (locked.status_code, locked.headers["Retry-After"])


def test_a_member_who_left_is_signed_out(house: ClubHouse) -> None:
    """An inactive member's token ends at once; the trials stay."""
    tester = house.testers[0]
    member = tester.get("/session").json["member"]
    body = {key: member[key] for key in ("display_name", "sign_in_name", "roles")}
    house.steward.put(f"/members/{tester.id}", {**body, "active": False}, version=1)

    answer = tester.get("/stones")

    assert (401, "not_signed_in") == (answer.status_code, answer.json["code"])


def test_a_club_keeps_a_steward(house: ClubHouse) -> None:
    """The last steward cannot give the role away."""
    body = {"display_name": "Steward", "sign_in_name": "steward", "roles": ["dealer"]}

    answer = house.steward.put(f"/members/{house.steward.id}", body, version=1)

    assert (409, "conflict") == (answer.status_code, answer.json["code"])


def test_a_new_password_ends_other_sessions(house: ClubHouse) -> None:
    """The own present session goes on, the others end, the old password no longer works."""
    tester = house.testers[0]
    elsewhere = house.steward.__class__(house.app, tester.id, tester.name, sign_in(house.app, tester.name))

    answer = tester.post(
        f"/members/{tester.id}/password", {"password": "another long one", "current_password": PASSWORD}
    )

    assert 204 == answer.status_code
    assert (200, 401) == (tester.get("/session").status_code, elsewhere.get("/session").status_code)


def test_a_cookie_alone_cannot_change_anything(house: ClubHouse) -> None:
    """A form on another site sends the cookie but cannot send our header: 403."""
    client = house.app.test_client()
    signed = client.post("/api/v1/session", json={"sign_in_name": "dealer", "password": PASSWORD})
    body = {"code": "X1", "name": "A lot"}

    without = client.put(f"/api/v1/lots/{new_id()}", json=body)
    with_it = client.put(f"/api/v1/lots/{new_id()}", json=body, headers={"X-Whetpanel": "1"})
    cookie = signed.headers["Set-Cookie"]

    assert (403, 201) == (without.status_code, with_it.status_code)
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    assert "token" not in signed.json
