"""Photos of a stone as it lies on a bench, seen from an angle: drawn, so that every place on them is known."""

from io import BytesIO

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw, ImageFilter

Point = tuple[float, float]

SIZE = (1600, 1200)
#: Where the face's corners lie in the photo: the origin corner, then clockwise, along the length first.
CORNERS: list[Point] = [(170, 330), (1450, 410), (1380, 860), (110, 720)]
#: Middles of the mud and of the white card in the other photo.
MUD: Point = (500, 600)
CARD: Point = (1150, 600)


def homography(face: tuple[float, float]) -> npt.NDArray[np.float64]:
    """From millimetres on the face to pixels of the photo, by the four corners (direct linear transformation;
    Hartley & Zisserman 2004, 4.1). A second way, beside the app's own."""
    length, width = face
    rows, right = [], []
    corners_mm = [(0, 0), (length, 0), (length, width), (0, width)]
    for (x, y), (u, v) in zip(corners_mm, CORNERS, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        right += [u, v]
    return np.append(np.linalg.solve(np.array(rows, float), np.array(right, float)), 1).reshape(3, 3)


def in_photo(at: Point, face: tuple[float, float]) -> Point:
    """The photo's pixel of a place on the face."""
    u, v, w = homography(face) @ np.array([at[0], at[1], 1.0])
    return float(u / w), float(v / w)


def of_a_stone(face: tuple[float, float], fissure: list[Point]) -> bytes:
    """A wet slate with a fissure, on a wooden bench."""
    noise = Image.effect_noise(SIZE, 18).convert("RGB")
    photo = Image.blend(Image.new("RGB", SIZE, (150, 118, 84)), noise, 0.25)
    draw = ImageDraw.Draw(photo)
    draw.polygon(CORNERS, fill=(92, 104, 106))
    draw.line([in_photo(at, face) for at in fissure], fill=(28, 30, 30), width=6)
    photo = photo.filter(ImageFilter.GaussianBlur(1.2))
    return _jpeg(photo)


def of_mud_and_card(mud: int, card: int) -> bytes:
    """A patch of grey mud and a white card, as sRGB greys."""
    photo = Image.new("RGB", SIZE, (120, 110, 100))
    draw = ImageDraw.Draw(photo)
    for (x, y), grey in ((MUD, mud), (CARD, card)):
        draw.rectangle((x - 220, y - 260, x + 220, y + 260), fill=(grey, grey, grey))
    return _jpeg(photo)


def _jpeg(photo: Image.Image) -> bytes:
    out = BytesIO()
    photo.save(out, "JPEG", quality=92)
    return out.getvalue()
