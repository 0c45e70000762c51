"""The drawn photos: sized like the stone, small enough to send, the same every time, true to the record."""

import io

import numpy as np
import pytest
from PIL import Image
from seed.faces import MAX_PHOTO_BYTES, PHOTO_WIDTH_PX, Photo, face_photo
from seed.findings import Finding
from seed.inspections import FOUND, looks
from seed.mud import mud_photo, side_photo
from seed.pictures import look_shots, stone_shots, trial_shots
from seed.stones import BY_CODE, STONES
from seed.trials import trials

# One stone of each look the demo has, so that every recipe is drawn.
ONE_OF_EACH_LOOK = list({stone.look: stone for stone in STONES}.values())


def colours(photo: Photo) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(photo.data)), dtype=float)


def pixels(photo: Photo) -> np.ndarray:
    return colours(photo).mean(axis=2)


@pytest.mark.parametrize("stone", ONE_OF_EACH_LOOK, ids=lambda s: s.look)
def test_a_face_photo_has_the_face_s_own_shape(stone):
    """Cropped to the face: a millimetre is as many pixels along the width as along the length."""
    photo = face_photo(stone, stone.working_face, FOUND.get(stone.code, ()), "")
    picture = Image.open(io.BytesIO(photo.data))

    assert picture.format == "JPEG"
    assert (photo.width_px, photo.height_px) == picture.size
    assert picture.width == PHOTO_WIDTH_PX
    assert stone.width_mm / stone.length_mm == pytest.approx(
        picture.height / picture.width, abs=1 / PHOTO_WIDTH_PX
    )
    assert len(photo.data) <= MAX_PHOTO_BYTES
    assert pixels(photo).std() > 4, "a blank picture is no stone"


def test_the_same_bytes_every_time():
    """A photo is named by its hash, so drawing it again must give the same bytes."""
    stone = BY_CODE["TAR-02"]
    one, two = (face_photo(stone, "front", FOUND["TAR-02"], "") for _ in range(2))

    assert one.sha256 == two.sha256
    assert mud_photo(stone, 4, "").sha256 == mud_photo(stone, 4, "").sha256
    assert side_photo(stone, "").sha256 == side_photo(stone, "").sha256


@pytest.mark.parametrize(
    "finding",
    [
        Finding("fissure", ((60, 0), (63, 14), (70, 26)), catches_nail=True, stays_dark_wet=True),
        Finding("line", ((20, 10), (90, 30), (150, 50))),
        Finding("inclusion", ((92, 30),), size_mm=3, scratches_finish=True),
        Finding("soft_spot", ((60, 34),), size_mm=18),
        Finding("stain", ((120, 30),), size_mm=14),
        Finding("chip", ((0, 14), (8, 9), (19, 0)), size_mm=23),
        Finding("chip", ((200, 40), (190, 52), (172, 65), (200, 65)), size_mm=30),
    ],
    ids=lambda f: f"{f.kind}-{len(f.points)}",
)
def test_a_finding_is_drawn_where_the_record_says(finding):
    """Against the same face without it, the picture changes at the recorded points, and nowhere far off."""
    stone = BY_CODE["TAR-03"]
    with_it, without = (colours(face_photo(stone, "front", found, "")) for found in ((finding,), ()))
    change = np.abs(with_it - without).max(axis=2)
    ppmm = PHOTO_WIDTH_PX / stone.length_mm
    y, x = np.mgrid[: change.shape[0], : change.shape[1]] / ppmm

    legs = list(zip(finding.points, finding.points[1:], strict=False)) or [
        (finding.points[0], finding.points[0])
    ]
    near = np.full(change.shape, np.inf)
    for (ax, ay), (bx, by) in legs:
        along = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / max((bx - ax) ** 2 + (by - ay) ** 2, 1e-9)
        along = np.clip(along, 0, 1)
        near = np.minimum(near, np.hypot(x - ax - along * (bx - ax), y - ay - along * (by - ay)))
    reach = (finding.size_mm or 0) + 6

    assert change[near < 2].max() > 25, "the finding is to be seen"
    assert change[near > reach].max() < 12, "nothing else changed, but for the coding of the picture"
    for px, py in finding.points:
        around = change[np.hypot(x - px, y - py) < 2.5]
        assert around.max() > 12, f"the finding is to be seen at ({px}, {py})"


def test_darker_mud_looks_darker():
    """Mud shade 1 (pale) to 5 (black): the middle of the picture falls in lightness."""
    means = [
        pixels(mud_photo(BY_CODE["BRI-02"], shade, ""))[300:450, 350:650].mean() for shade in (1, 2, 3, 4, 5)
    ]
    assert means == sorted(means, reverse=True)
    assert means[0] - means[-1] > 60


def test_every_mark_has_its_photo():
    """A stamp or natural skin is part of the stone's value: it is recorded with a photo of its face."""
    for stone in STONES:
        if not stone.marks:
            continue
        views = {shot.view for shot in stone_shots(stone)}
        assert {stone.working_face, *(mark.face for mark in stone.marks)} <= views


def test_as_many_photos_as_a_club_takes():
    shots = [shot for stone in STONES for shot in stone_shots(stone)]
    shots += [shot for look in looks() for shot in look_shots(look)]
    shots += [shot for trial in trials() for shot in trial_shots(trial)]
    assert 50 <= len(shots) <= 70
