"""Photos as a phone's camera would hand them over, drawn from noise."""

import hashlib
from io import BytesIO

from PIL import Image


def noise(seed: int, size: tuple[int, int] = (480, 360)) -> bytes:
    """A JPEG of some tens of kilobytes that no other seed gives."""
    picture = Image.effect_noise(size, 40 + seed % 50)
    picture.putpixel((0, 0), seed % 256)
    out = BytesIO()
    picture.save(out, "JPEG", quality=70)
    return out.getvalue()


def from_a_camera(size: tuple[int, int]) -> bytes:
    """A photo as held upright: stored lying on its side, with a turn, a place and a camera in its EXIF block.

    Tags by Exif 2.32 (CIPA DC-008): 0x0112 orientation, 6 meaning a quarter turn; 0x8825 GPS, of which 1 to 4
    are latitude and longitude with their hemispheres; 0x010F the maker.
    """
    picture = Image.effect_noise(size, 60).convert("RGB")
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x010F] = "An invented camera"
    place = exif.get_ifd(0x8825)
    place.update({1: "N", 2: (47.0, 30.0, 15.0), 3: "E", 4: (8.0, 45.0, 30.0)})
    out = BytesIO()
    picture.save(out, "JPEG", quality=80, exif=exif)
    return out.getvalue()


def sha256(content: bytes | bytearray) -> str:
    return hashlib.sha256(content).hexdigest()
