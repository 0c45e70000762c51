"""Bad input gets a clear error and nothing is stored."""

import hashlib
import io
import itertools
from typing import Any

import pytest
from PIL import Image

from tests.conftest import ClubHouse, new_id, stone_body


def fields(answer: Any) -> set[str]:
    return {error["field"] for error in answer.json["errors"]}


def test_every_wrong_field_is_named_at_once(house: ClubHouse) -> None:
    """A person mends them in one go; 422 and RFC 9457."""
    body = stone_body(house.lot_id, length_mm=-3, kind="cheese", code="no spaces please", surprise=1)

    answer = house.dealer.put(f"/stones/{new_id()}", body)

    assert (422, "application/problem+json") == (answer.status_code, answer.content_type)
    assert {"length_mm", "kind", "code", "surprise"} == fields(answer)


def test_a_grade_off_the_scale_is_refused(house: ClubHouse) -> None:
    """3.3 is no half step, 6 is above the end, sharpness is no scale of this protocol."""
    stone, blade, trial = house.stone(), house.blade("white_carbon"), new_id()
    grades = {"hardness": 3.3, "fineness": 6, "sharpness": 2}

    answer = house.testers[0].put(f"/trials/{trial}", house.trial_body(stone, blade, grades=grades))

    assert {"grades.hardness", "grades.fineness", "grades.sharpness"} == fields(answer)
    assert 404 == house.testers[0].get(f"/trials/{trial}").status_code


@pytest.mark.parametrize(
    ("observation", "value"),
    [
        ("water_uptake_s", -1),
        ("water_uptake_s", "ten"),
        ("mud_shade", 9),
        ("mud_shade", True),
        ("finish_band", {"low": 8000, "high": 3000, "system": "jis"}),
        ("finish_band", {"low": 3000, "high": 8000, "system": "household"}),
        ("refines", "yes"),
        ("aroma", 3),
    ],
)
def test_an_observation_that_does_not_fit_is_refused(
    small_house: ClubHouse, observation: str, value: Any
) -> None:
    """Each kind of observation holds its values to its own form."""
    house = small_house
    body = house.trial_body(house.stone(), house.blade("white_carbon"))
    body["observations"][observation] = value

    answer = house.testers[0].put(f"/trials/{new_id()}", body)

    assert {f"observations.{observation}"} == fields(answer)


def test_a_trial_of_a_stone_that_is_not_here_is_kept_by_the_phone(house: ClubHouse) -> None:
    """409 names the field: the phone parks the trial, its stone may still be on the way."""
    answer = house.testers[0].put(
        f"/trials/{new_id()}", house.trial_body(new_id(), house.blade("white_carbon"))
    )

    assert (409, "conflict") == (answer.status_code, answer.json["code"])
    assert "stone_id" in answer.json["detail"]


def test_a_trial_may_follow_an_earlier_version_of_its_protocol(house: ClubHouse) -> None:
    """A phone that was away for weeks holds the old version; its grades are checked against that one."""
    protocol = house.protocols["knife"]
    own = {
        key: protocol[key]
        for key in ("name", "purpose", "summary", "reference_steels", "cautions", "steps", "observations")
    }
    scales = [scale for scale in protocol["scales"] if scale["id"] != "ease"]
    steps = [{**step, "records": [r for r in step["records"] if r != "ease"]} for step in own["steps"]]
    changed = house.steward.put(
        f"/protocols/{protocol['id']}", {**own, "steps": steps, "scales": scales}, version=1
    )
    stone, blade = house.stone(), house.blade("white_carbon")
    body = house.trial_body(stone, blade, grades={"ease": 3})

    old = house.testers[0].put(f"/trials/{new_id()}", body)
    new = house.testers[0].put(f"/trials/{new_id()}", {**body, "protocol_version": 2})
    none = house.testers[0].put(f"/trials/{new_id()}", {**body, "protocol_version": 3})

    assert 200 == changed.status_code
    assert (201, 422, 409) == (old.status_code, new.status_code, none.status_code)


def test_two_stones_cannot_have_one_code(house: ClubHouse) -> None:
    """409; a withdrawn stone gives its code free."""
    first = house.stone(code="T-1")

    clash = house.dealer.put(f"/stones/{new_id()}", stone_body(house.lot_id, code="T-1"))
    house.dealer.post(f"/stones/{first}/withdraw", {"reason": "Broken"})
    after = house.dealer.put(f"/stones/{new_id()}", stone_body(house.lot_id, code="T-1"))

    assert (409, 201) == (clash.status_code, after.status_code)


def picture(**exif: str) -> bytes:
    image = Image.new("RGB", (600, 400), (80, 90, 95))
    out = io.BytesIO()
    tags = image.getexif()
    tags[0x010E] = exif.get("description", "")
    tags.get_ifd(0x8825)[1] = "N"
    image.save(out, "JPEG", exif=tags)
    return out.getvalue()


def test_a_photo_is_kept_once_and_without_its_metadata(house: ClubHouse) -> None:
    """The place where it was taken is gone; sending it again is harmless; the thumbnail is small."""
    content = picture(description="taken at home")
    sha256 = hashlib.sha256(content).hexdigest()
    headers = {"Content-Type": "image/jpeg"}

    first = house.testers[0].ask("PUT", f"/photos/{sha256}", data=content, headers=headers)
    again = house.testers[0].ask("PUT", f"/photos/{sha256}", data=content, headers=headers)
    served = house.dealer.get(f"/photos/{sha256}")
    thumb = house.dealer.get(f"/photos/{sha256}/thumb")

    assert (201, 200) == (first.status_code, again.status_code)
    assert (600, 400) == (first.json["width"], first.json["height"])
    assert b"taken at home" in content
    assert b"taken at home" not in served.data
    assert {} == dict(Image.open(io.BytesIO(served.data)).getexif())
    assert 320 == max(Image.open(io.BytesIO(thumb.data)).size)


def test_a_photo_that_arrived_damaged_is_refused(house: ClubHouse) -> None:
    """The hash in the address is not the body's: 422. Not a picture at all: 422. Not an image type: 415."""
    content = picture()
    wrong = house.testers[0].ask(
        "PUT", f"/photos/{'0' * 64}", data=content, headers={"Content-Type": "image/jpeg"}
    )
    text = b"not a picture"
    sha256 = hashlib.sha256(text).hexdigest()
    no_picture = house.testers[0].ask(
        "PUT", f"/photos/{sha256}", data=text, headers={"Content-Type": "image/jpeg"}
    )
    no_type = house.testers[0].ask(
        "PUT", f"/photos/{sha256}", data=text, headers={"Content-Type": "text/plain"}
    )

    assert (422, 422, 415) == (wrong.status_code, no_picture.status_code, no_type.status_code)
    assert 404 == house.dealer.get(f"/photos/{sha256}").status_code


def test_a_photo_arrives_in_pieces_over_a_poor_signal(house: ClubHouse) -> None:
    """In any order, some twice; the phone asks how far it is and goes on; in the end it is one whole photo."""
    content = picture(description="in pieces")
    sha256 = hashlib.sha256(content).hexdigest()
    cuts = [0, 900, 2000, len(content)]
    pieces = list(itertools.pairwise(cuts))
    tester = house.testers[0]

    def send(first: int, last: int) -> Any:
        headers = {"Content-Type": "image/jpeg", "Content-Range": f"bytes {first}-{last - 1}/{len(content)}"}
        return tester.ask("PUT", f"/photos/{sha256}", data=content[first:last], headers=headers)

    later, start, again = send(*pieces[1]), send(*pieces[0]), send(*pieces[0])
    held = tester.get(f"/photos/{sha256}/received").json
    whole = send(*pieces[2])

    assert [202, 202, 202, 201] == [one.status_code for one in (later, start, again, whole)]
    assert (0, 2000) == (later.json["received"], start.json["received"])
    assert (2000, False) == (held["received"], held["complete"])
    assert tester.get(f"/photos/{sha256}/received").json["complete"]
    assert 200 == house.dealer.get(f"/photos/{sha256}").status_code


def test_a_piece_that_does_not_fit_is_refused(house: ClubHouse) -> None:
    """A range that lies, or reaches past the end; pieces of another photo's bytes end in a clear refusal."""
    content = picture()
    tester = house.testers[0]

    def send(sha256: str, range_: str, data: bytes) -> int:
        headers = {"Content-Type": "image/jpeg", "Content-Range": range_}
        return tester.ask("PUT", f"/photos/{sha256}", data=data, headers=headers).status_code

    wrong = "1" * 64
    assert 422 == send(wrong, "bytes 0-9/100", b"123")
    assert 422 == send(wrong, "bytes 95-104/100", b"1234567890")
    assert 422 == send(wrong, "pages 1-2/3", b"12")
    assert 422 == send(wrong, f"bytes 0-{len(content) - 1}/{len(content)}", content)
    assert 0 == tester.get(f"/photos/{wrong}/received").json["received"]
