"""Practice: a whole trial on an invented stone that leaves nothing on the service and nothing in a queue."""

import pytest
from playwright.sync_api import expect

from tests.e2e.club import Club, Member
from tests.e2e.phone import Phone
from tests.e2e.pictures import from_a_camera
from tests.e2e.screens import choose, walk_steps

pytestmark = pytest.mark.browser

ANSWERS = {"mud_shade": 3, "contrast": "haze", "scratches_seen": False, "strokes_to_mud": 12}
GRADES = {"hardness": 3.5, "fineness": 4.0, "ease": 2.5}
HELD_HERE = """async () => {
  const asked = (request) => new Promise((go) => { request.onsuccess = () => go(request.result); });
  const store = await asked(indexedDB.open("whetpanel"));
  const counts = {};
  for (const name of ["drafts", "outbox", "photo_blobs"]) {
    counts[name] = await asked(store.transaction(name).objectStore(name).count());
  }
  store.close();
  return counts;
}"""


def test_a_practice_trial_is_a_whole_trial_and_is_never_sent(
    club: Club, tester: Member, phone: Phone
) -> None:
    """From the bench without a signal, with a photo, left and resumed; then a real stone, and nothing was sent."""
    club.stone()
    page = phone.bench()
    phone.sync_now()
    phone.go_offline()
    page.get_by_role("link", name="Practise on an invented stone").tap()
    mark = page.get_by_role("complementary", name="Practice")
    expect(mark).to_contain_text("Nothing you set here is sent.")
    choose(page, "Which protocol?", club.protocol["name"])
    choose(page, "Which blade?", "Practice knife")
    choose(page, "Which face do you work?", "Front")
    page.get_by_role("button", name="Begin").tap()
    mud = next(i for i, step in enumerate(club.protocol["steps"]) if "mud_shade" in step["records"])
    walk_steps(page, club.protocol, ANSWERS, GRADES, to=mud)
    photo = {"name": "IMG_1.jpg", "mimeType": "image/jpeg", "buffer": from_a_camera((640, 480))}
    page.get_by_label("Photo mud").set_input_files(photo)
    expect(page.get_by_role("button", name="Take it off mud")).to_be_visible()

    phone.bench()
    page.get_by_role("link", name="Practice trial").tap()
    page.get_by_role("button", name="Go on at").tap()
    walk_steps(page, club.protocol, ANSWERS, GRADES, start=mud)
    expect(mark).to_be_visible()
    page.get_by_role("button", name="Finish the practice").tap()
    expect(page.get_by_role("heading", name="That was a whole trial")).to_be_visible()
    expect(page.get_by_text("3 grades, 4 observations, 1 photo.")).to_be_visible()
    expect(page.get_by_role("img", name="3.5")).to_be_visible()
    assert {"drafts": 0, "outbox": 0, "photo_blobs": 0} == page.evaluate(HELD_HERE)
    expect(page.get_by_role("link", name="Start for real")).to_be_visible()

    phone.go_online()
    phone.bench()
    phone.sync_now()
    phone.expect_waiting(0)
    assert [] == tester.own("trials")
    assert [] == phone.puts("/api/v1/")
