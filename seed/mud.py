"""Photos beside the face: the mud a blade has raised, and a side that shows the layers."""

import numpy as np

from .faces import PHOTO_WIDTH_PX, Photo, encode
from .ids import demo_rng
from .stones import Stone
from .textures import LOOKS, Canvas, bands, blend, cloud, grain, ink, ramp, smooth_noise, surface

# Mud from 1 (pale, the stone's own flour) to 5 (black, nearly all metal), as it looks wet.
METAL = ((222, 214, 196), (176, 168, 152), (120, 115, 106), (70, 68, 65), (34, 34, 35))


def mud_photo(stone: Stone, shade: int, caption: str) -> Photo:
    """A close look, 60 mm wide, at the mud after the strokes. ``shade`` is 1–5 as a tester would note it."""
    width_px, height_px = 1000, 750
    canvas = Canvas(width_px, height_px, width_px / 60, demo_rng("mud", stone.code))
    image = surface(stone.look, canvas)
    image *= 0.9
    x, y = canvas.grid_mm()
    own = ink(LOOKS[stone.look][1][2])
    metal = ink(METAL[shade - 1])
    colour = metal + (0.34 - 0.06 * shade) * (own - metal)

    # The blade went back and forth along a slight arc: the mud is drawn out that way and heaps at the ends.
    sweep = y + 0.004 * (x - 30) ** 2 - 23 + 1.2 * smooth_noise(canvas, 25)
    along = canvas.rng.uniform(26, 34)
    body = 1.15 - (sweep / 13.5) ** 2 - ((x - along) / 25) ** 4
    streak = bands(canvas, 0.55, 1.5, 0.004 * (x - 30) ** 2 + 0.5 * smooth_noise(canvas, 16))
    streak += 0.7 * bands(canvas, 2.2, -1.0, 0.004 * (x - 30) ** 2 + 0.9 * smooth_noise(canvas, 20))
    ragged = cloud(canvas, 10, 6, 0.55, stretch=1.8)
    thick = body + 0.17 * streak + 0.5 * ragged + 0.04 * grain(canvas, 0.2)
    cover = np.clip(thick * 1.5, 0, 1)
    heap = np.exp(-(((thick - 0.28) / 0.16) ** 2))

    shaded = np.empty_like(image)
    shaded[:] = colour
    shaded *= 1 + 0.07 * np.clip(streak, -2, 2) + 0.05 * cloud(canvas, 3, 4) - 0.1 * heap
    image += (cover * (0.9 - 0.22 * np.exp(-(((thick - 0.1) / 0.2) ** 2)))) * (shaded - image)
    gy, gx = np.gradient(np.clip(thick, -0.2, 1.1) + 0.1 * ragged)
    image += np.clip(-300 * gy - 150 * gx, -14, 20) * (0.04 + 0.96 * cover)

    # Wet mud shines in small flecks on the side toward the window.
    fleck = np.clip(smooth_noise(canvas, 0.5, 0.3) - 1.7, 0, 1) * np.clip(-30 * gy + 0.35, 0, 1) * cover
    blend(image, (238, 240, 242), np.clip(1.2 * fleck, 0, 0.75).astype(np.float32))
    image *= 1.05 - 0.0028 * x - 0.0022 * y
    return encode(image, "mud", caption)


def side_photo(stone: Stone, caption: str) -> Photo:
    """One long side, wet: the layers run along it."""
    ppmm = PHOTO_WIDTH_PX / stone.length_mm
    canvas = Canvas(PHOTO_WIDTH_PX, round(stone.thickness_mm * ppmm), ppmm, demo_rng("side", stone.code))
    wander = 0.9 * smooth_noise(canvas, 70) + 0.2 * smooth_noise(canvas, 9, 4)
    layers = 0.9 * bands(canvas, 2.4, 1.2, wander) + 0.6 * bands(canvas, 0.7, 1.2, wander)
    image = ramp(layers + 0.3 * grain(canvas, 0.25) + 0.25 * cloud(canvas, 25, 3), LOOKS[stone.look][1])
    x, y = canvas.grid_mm()
    saw = np.sin((x + 0.25 * y) * np.float32(2 * np.pi / 1.7) + smooth_noise(canvas, 20))
    image += 3.5 * saw
    image *= 1.08 - 0.3 * y / stone.thickness_mm - 0.1 * x / stone.length_mm
    if stone.sides_sealed:
        sheen = np.exp(-(((y / stone.thickness_mm - 0.22 + 0.03 * smooth_noise(canvas, 15)) / 0.07) ** 2))
        image *= 0.86
        image += 48 * sheen
    return encode(image, "side", caption)
