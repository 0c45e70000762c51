"""Stone surfaces from noise: each look is a recipe over a few kinds of noise, in millimetres.

An image is a float32 array (3, height, width) in sRGB levels 0–255, so that a field (height, width) adds to
all three channels as it stands. The working
scale is ``ppmm``, pixels per millimetre, so a grain of 0.3 mm stays 0.3 mm whatever the photo's size.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from .ids import demo_rng

Field = NDArray[np.float32]
Colour = tuple[int, int, int]


@dataclass(frozen=True)
class Canvas:
    """The ground to paint on: size in pixels, scale, coordinates in mm and a generator of its own."""

    width_px: int
    height_px: int
    ppmm: float
    rng: np.random.Generator

    @property
    def shape(self) -> tuple[int, int]:
        return (self.height_px, self.width_px)

    def coarser(self, times: int) -> "Canvas":
        """The same ground with fewer, larger pixels, for what is smooth anyway; see ``enlarge``."""
        width_px, height_px = -(-self.width_px // times), -(-self.height_px // times)
        return Canvas(width_px, height_px, self.ppmm / times, self.rng)

    def anew(self, *names: str) -> "Canvas":
        """The same ground with a generator of its own."""
        return replace(self, rng=demo_rng(*names))

    def grid_mm(self) -> tuple[Field, Field]:
        """Pixel centres: x (1, width) along the length and y (height, 1) along the width, in mm."""
        x = (np.arange(self.width_px, dtype=np.float32) + 0.5) / np.float32(self.ppmm)
        y = (np.arange(self.height_px, dtype=np.float32) + 0.5) / np.float32(self.ppmm)
        return x[None, :], y[:, None]


def enlarge(small: Field, shape: tuple[int, int]) -> Field:
    """A coarse field brought to full size by cubic interpolation."""
    image = Image.fromarray(small.astype(np.float32))
    return np.asarray(image.resize((shape[1], shape[0]), Image.Resampling.BICUBIC), dtype=np.float32)


def smooth_noise(canvas: Canvas, cell_x_mm: float, cell_y_mm: float | None = None) -> Field:
    """Noise of mean 0 and spread about 1 whose blobs are one cell wide."""
    cell_y_mm = cell_x_mm if cell_y_mm is None else cell_y_mm
    nx = max(4, round(canvas.width_px / max(1.0, cell_x_mm * canvas.ppmm)) + 3)
    ny = max(4, round(canvas.height_px / max(1.0, cell_y_mm * canvas.ppmm)) + 3)
    nx, ny = min(nx, canvas.width_px), min(ny, canvas.height_px)
    return enlarge(canvas.rng.standard_normal((ny, nx), dtype=np.float32), canvas.shape)


def cloud(
    canvas: Canvas, cell_mm: float, octaves: int = 4, gain: float = 0.55, stretch: float = 1.0
) -> Field:
    """Noise summed over octaves, each half the size of the last; ``stretch`` > 1 draws it out along x."""
    # Blobs wider than sixteen pixels are summed on a grid four times coarser and enlarged together: the eye
    # sees no difference, and enlarging is what costs.
    small = canvas.coarser(4)
    coarse: Field | None = None
    fine: Field | None = None
    amplitude, norm, cell = 1.0, 0.0, cell_mm
    for _ in range(octaves):
        if cell * canvas.ppmm > 16:
            layer = np.float32(amplitude) * smooth_noise(small, cell * stretch, cell)
            coarse = layer if coarse is None else coarse + layer
        else:
            layer = np.float32(amplitude) * smooth_noise(canvas, cell * stretch, cell)
            fine = layer if fine is None else fine + layer
        norm += amplitude**2
        amplitude, cell = amplitude * gain, cell / 2
    parts = [] if coarse is None else [enlarge(coarse, canvas.shape)]
    total = sum(parts if fine is None else [*parts, fine], start=np.float32(0))
    return np.asarray(total / np.float32(norm**0.5), dtype=np.float32)


def grain(canvas: Canvas, size_mm: float) -> Field:
    """Single grains: noise no finer than a pixel, spread about 1."""
    cell = max(size_mm, 1.0 / canvas.ppmm)
    return smooth_noise(canvas, cell)


def bands(canvas: Canvas, pitch_mm: float, tilt_deg: float, wander: Field) -> Field:
    """Layers seen end on or cut at a low angle: a one-dimensional noise along a tilted, wandering axis."""
    x, y = canvas.grid_mm()
    tilt = np.deg2rad(tilt_deg)
    axis = x * np.float32(np.sin(tilt)) + y * np.float32(np.cos(tilt)) + wander
    knots = np.arange(float(axis.min()) - pitch_mm, float(axis.max()) + 2 * pitch_mm, pitch_mm)
    values = canvas.rng.standard_normal(knots.size)
    return np.interp(axis.ravel(), knots, values).reshape(axis.shape).astype(np.float32)


def specks(canvas: Canvas, per_cm2: float, radius_mm: tuple[float, float]) -> Field:
    """Coverage 0–1 by round specks strewn at random."""
    area_cm2 = canvas.width_px * canvas.height_px / canvas.ppmm**2 / 100
    n = int(canvas.rng.poisson(per_cm2 * area_cm2))
    cover = np.zeros(canvas.shape, dtype=np.float32)
    xs = canvas.rng.uniform(0, canvas.width_px, n)
    ys = canvas.rng.uniform(0, canvas.height_px, n)
    radii = canvas.rng.uniform(*radius_mm, n) * canvas.ppmm
    for cx, cy, radius in zip(xs, ys, radii, strict=True):
        x0, x1 = max(0, int(cx - radius - 1)), min(canvas.width_px, int(cx + radius + 2))
        y0, y1 = max(0, int(cy - radius - 1)), min(canvas.height_px, int(cy + radius + 2))
        dx = np.arange(x0, x1, dtype=np.float32)[None, :] - np.float32(cx)
        dy = np.arange(y0, y1, dtype=np.float32)[:, None] - np.float32(cy)
        disc = np.clip(np.float32(radius + 0.5) - np.sqrt(dx * dx + dy * dy), 0, 1)
        np.maximum(cover[y0:y1, x0:x1], disc, out=cover[y0:y1, x0:x1])
    return cover


def ramp(field: Field, stops: tuple[Colour, ...], spread: float = 2.0) -> Field:
    """Colours a field: ``-spread`` takes the first stop, ``+spread`` the last."""
    steps = 1024
    at, ladder = np.linspace(-spread, spread, len(stops)), np.linspace(-spread, spread, steps)
    rung = np.clip((field + spread) * ((steps - 1) / (2 * spread)), 0, steps - 1).astype(np.intp)
    out = np.empty((3, *field.shape), dtype=np.float32)
    for channel in range(3):
        colours = np.interp(ladder, at, [stop[channel] for stop in stops]).astype(np.float32)
        np.take(colours, rung, out=out[channel])
    return out


def ink(colour: Sequence[float]) -> Field:
    """A colour that broadcasts over an image."""
    return np.array(colour, dtype=np.float32).reshape(3, 1, 1)


def blend(image: Field, colour: Sequence[float], cover: Field) -> Field:
    """Paints ``colour`` over ``image`` where ``cover`` is 1. The image is changed in place and returned."""
    rows, columns = np.flatnonzero(cover.any(axis=1)), np.flatnonzero(cover.any(axis=0))
    if rows.size:
        down, across = slice(rows[0], rows[-1] + 1), slice(columns[0], columns[-1] + 1)
        there, part = cover[down, across], image[:, down, across]
        part *= 1 - there
        part += there * ink(colour)
    return image


def slate(canvas: Canvas, stops: tuple[Colour, ...]) -> Field:
    """Cleaved and sawn: nearly even, faint drawn-out streaks, a few paler reduction flecks."""
    field = (
        0.4 * cloud(canvas, 60, 4, 0.6, stretch=2.5)
        + 0.3 * cloud(canvas, 4, 3, stretch=12)
        + 0.34 * grain(canvas, 0.2)
        + 0.3 * bands(canvas, 9, 7, 2.5 * smooth_noise(canvas, 60))
    )
    image = ramp(field, stops)
    blend(image, stops[-1], 0.35 * specks(canvas, 0.25, (0.2, 0.7)))
    return blend(image, (24, 24, 26), 0.5 * specks(canvas, 0.5, (0.1, 0.3)))


def novaculite(canvas: Canvas, stops: tuple[Colour, ...]) -> Field:
    """Waxy and cloudy: soft milky bodies, hair veins, hardly any grain."""
    body = cloud(canvas, 34, 6, 0.62)
    image = ramp(0.95 * body + 0.09 * grain(canvas, 0.25), stops)
    for width, strength in ((0.03, 0.3), (0.014, 0.4)):
        veins = np.exp(-((cloud(canvas, 46, 4, 0.5, 1.4) / np.float32(width)) ** 2))
        thin = np.clip(smooth_noise(canvas, 35), 0, 1)
        blend(image, stops[0], np.float32(strength) * veins * thin)
    return blend(image, (120, 84, 52), 0.35 * specks(canvas, 0.12, (0.15, 0.5)))


def schist(canvas: Canvas, stops: tuple[Colour, ...]) -> Field:
    """Waved foliation with mica that glints."""
    wander = (
        2.0 * smooth_noise(canvas, 70, 30)
        + 0.5 * smooth_noise(canvas, 22, 9)
        + 0.12 * smooth_noise(canvas, 4, 2)
    )
    field = (
        0.75 * bands(canvas, 1.1, 4, wander)
        + 0.55 * bands(canvas, 5.0, 4, wander)
        + 0.35 * cloud(canvas, 30, 3, stretch=2)
        + 0.35 * grain(canvas, 0.25)
    )
    image = ramp(field, stops)
    flakes = np.clip(smooth_noise(canvas, 0.75, 0.3) - 1.55, 0, 1)
    return blend(image, (232, 232, 222), np.clip(1.3 * flakes, 0, 0.9))


def sandstone(canvas: Canvas, stops: tuple[Colour, ...]) -> Field:
    """Grains one can see, loose bedding, iron in clouds, open pores."""
    wander = 2.5 * smooth_noise(canvas, 55)
    field = (
        0.5 * cloud(canvas, 40, 4)
        + 0.4 * bands(canvas, 6, -5, wander)
        + 0.75 * grain(canvas, 0.45)
        + 0.55 * grain(canvas, 0.25)
    )
    image = ramp(field, stops)
    blend(image, (242, 232, 208), 0.75 * np.clip(grain(canvas, 0.5) - 1.6, 0, 0.9))
    return blend(image, (46, 34, 26), 0.85 * np.clip(grain(canvas, 0.5) - 1.75, 0, 0.9))


def siltstone(canvas: Canvas, stops: tuple[Colour, ...]) -> Field:
    """Layers cut at a low angle: contour-like bands with sharper and softer edges."""
    wander = 3.2 * cloud(canvas, 80, 3, 0.45, 2.0) + 0.25 * cloud(canvas, 3, 2)
    field = (
        0.6 * bands(canvas, 4.2, 9, wander)
        + 0.4 * bands(canvas, 1.3, 9, wander)
        + 0.35 * cloud(canvas, 30, 3)
        + 0.24 * grain(canvas, 0.25)
    )
    image = ramp(field, stops)
    return blend(image, (70, 52, 38), 0.5 * specks(canvas, 0.6, (0.1, 0.35)))


def garnet_slate(canvas: Canvas, stops: tuple[Colour, ...]) -> Field:
    """An even, dense body full of tiny garnets, here and there a manganese smear."""
    field = (
        0.45 * cloud(canvas, 50, 3, stretch=2)
        + 0.3 * bands(canvas, 12, 3, 3 * smooth_noise(canvas, 70))
        + 0.3 * grain(canvas, 0.2)
        + 0.25 * grain(canvas, 0.5)
    )
    image = ramp(field, stops)
    garnets = np.clip(smooth_noise(canvas, 0.42) - 1.5, 0, 1)
    blend(image, (122, 44, 52), np.clip(0.8 * garnets, 0, 0.6))
    smear = np.clip(cloud(canvas, 5, 5, 0.75, stretch=5) - 1.9, 0, 1)
    return blend(image, (72, 60, 52), np.clip(0.7 * smear, 0, 0.4))


def chert(canvas: Canvas, stops: tuple[Colour, ...]) -> Field:
    """Waxy, mottled and ringed like a nodule, with chalky ghosts."""
    core = cloud(canvas, 55, 3)
    rings = np.sin(5.5 * core + 0.8 * cloud(canvas, 9, 3)).astype(np.float32)
    image = ramp(0.8 * core + 0.4 * rings + 0.1 * grain(canvas, 0.25), stops)
    ghosts = np.clip(cloud(canvas, 11, 4) - 1.5, 0, 1)
    blend(image, (198, 186, 164), np.clip(0.7 * ghosts, 0, 0.4))
    return blend(image, stops[0], 0.6 * specks(canvas, 0.5, (0.1, 0.5)))


Recipe = Callable[[Canvas, tuple[Colour, ...]], Field]

# For each look its recipe and its colours from dark to light, wet.
LOOKS: dict[str, tuple[Recipe, tuple[Colour, ...]]] = {
    "slate_blue": (slate, ((40, 44, 50), (58, 63, 70), (80, 86, 93))),
    "slate_green": (slate, ((66, 72, 66), (92, 99, 91), (120, 125, 115))),
    "slate_violet": (slate, ((60, 53, 58), (84, 75, 80), (108, 98, 102))),
    "novaculite_white": (novaculite, ((176, 168, 158), (208, 202, 193), (226, 222, 214))),
    "novaculite_grey": (novaculite, ((76, 78, 82), (116, 118, 121), (158, 158, 157))),
    "schist_silver": (schist, ((68, 70, 71), (112, 114, 113), (152, 153, 149))),
    "schist_brown": (schist, ((66, 56, 46), (106, 92, 77), (144, 130, 112))),
    "sandstone_rust": (sandstone, ((96, 66, 50), (138, 98, 73), (174, 135, 104))),
    "sandstone_pale": (sandstone, ((138, 114, 78), (178, 152, 110), (207, 185, 146))),
    "siltstone_buff": (siltstone, ((136, 108, 76), (171, 143, 106), (196, 172, 136))),
    "siltstone_grey": (siltstone, ((102, 104, 100), (138, 139, 133), (168, 166, 157))),
    "garnet_cream": (garnet_slate, ((166, 142, 104), (193, 170, 130), (212, 193, 156))),
    "garnet_violet": (garnet_slate, ((76, 69, 74), (102, 93, 97), (128, 118, 120))),
    "chert_brown": (chert, ((72, 50, 32), (122, 88, 56), (160, 126, 88))),
    "chert_grey": (chert, ((52, 52, 52), (86, 85, 83), (124, 121, 115))),
}


def surface(look: str, canvas: Canvas) -> Field:
    """The bare, wet stone of that look, unlit and without marks or findings."""
    recipe, stops = LOOKS[look]
    return recipe(canvas, stops)
