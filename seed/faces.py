"""Photos of stones, drawn and not taken: a wet face, its findings where the record says, mud, edges, light.

A face photo is cropped to the face: its top left corner is the origin of the face's coordinates, its width is
the stone's length and its height the stone's width. A trace tapped on the photo and the trace in the record
are then the same line.
"""

import hashlib
import io
import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from .findings import Finding, Point
from .ids import demo_rng
from .stones import Stone
from .textures import LOOKS, Canvas, Field, blend, cloud, enlarge, grain, smooth_noise, surface

PHOTO_WIDTH_PX = 1200
MAX_PHOTO_BYTES = 150_000
BENCH: tuple[int, int, int] = (38, 33, 29)


@dataclass(frozen=True)
class Photo:
    """An encoded picture with the facts a record needs to name it."""

    data: bytes
    view: str
    caption: str
    width_px: int
    height_px: int

    @property
    def sha256(self) -> str:
        return hashlib.sha256(self.data).hexdigest()

    def as_record(self) -> dict[str, Any]:
        """As a record names it. A photo of a face is cropped to the face, so its corners are the face's."""
        link: dict[str, Any] = {"sha256": self.sha256, "view": self.view, "caption": self.caption}
        if self.view in ("front", "back"):
            w, h = float(self.width_px), float(self.height_px)
            link["corners"] = [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]]
        return link


def encode(image: Field, view: str, caption: str) -> Photo:
    """JPEG, as a phone sends it, stepping the quality down until it is small enough for a thin signal."""
    levels = np.clip(image + 0.5, 0, 255).astype(np.uint8)
    picture = Image.fromarray(np.ascontiguousarray(levels.transpose(1, 2, 0)))
    for quality in (84, 76, 68, 58, 46, 34):
        buffer = io.BytesIO()
        picture.save(buffer, "JPEG", quality=quality)
        if buffer.tell() <= MAX_PHOTO_BYTES:
            break
    return Photo(buffer.getvalue(), view, caption, picture.width, picture.height)


def face_photo(stone: Stone, face: str, findings: Sequence[Finding], caption: str) -> Photo:
    """The face as it lies wet on the bench."""
    ppmm = PHOTO_WIDTH_PX / stone.length_mm
    canvas = Canvas(PHOTO_WIDTH_PX, round(stone.width_mm * ppmm), ppmm, demo_rng("face", stone.code, face))
    image = surface(stone.look, canvas)
    kinds = {mark.kind for mark in stone.marks if mark.face == face}
    if "natural_skin" in kinds:
        image = skin(canvas, image)
    elif face == "back":
        image = saw_marks(canvas, image)
    else:
        image = lapped(canvas, image)
    if "stamp" in kinds:
        stamp(canvas, image, stone)
    # Findings and light draw their own chances: one more finding leaves the rest of the picture as it was.
    for n, finding in enumerate(findings):
        DRAW[finding.kind](canvas.anew("finding", stone.code, face, str(n)), image, finding)
    lit = canvas.anew("light", stone.code, face)
    light(lit, image, beads=stone.hardness >= 3.7 and face == stone.working_face)
    edge(lit, image, stone)
    return encode(image, face, caption)


# -- how the face was made


def lapped(canvas: Canvas, image: Field) -> Field:
    """A lapped face: fine scratches every way, hardly seen."""
    n = 90
    layer = Image.new("L", (canvas.width_px, canvas.height_px), 0)
    draw = ImageDraw.Draw(layer)
    for _ in range(n):
        cx, cy = canvas.rng.uniform(0, canvas.width_px), canvas.rng.uniform(0, canvas.height_px)
        angle = canvas.rng.normal(0.35, 0.6)
        half = canvas.rng.uniform(20, 130)
        dx, dy = half * np.cos(angle), half * np.sin(angle)
        draw.line((cx - dx, cy - dy, cx + dx, cy + dy), fill=int(canvas.rng.integers(20, 90)), width=1)
    return blend(image, (205, 205, 200), np.asarray(layer, dtype=np.float32) / np.float32(1400))


def saw_marks(canvas: Canvas, image: Field) -> Field:
    """A sawn face: shallow arcs left by the blade."""
    x, y = canvas.grid_mm()
    radius = np.sqrt((x + 60) ** 2 + (y - 190) ** 2)
    wave = np.sin(radius * np.float32(2 * np.pi / 2.6) + 0.8 * smooth_noise(canvas, 30))
    image += 4.5 * wave * (0.6 + 0.4 * smooth_noise(canvas, 25))
    return image


def skin(canvas: Canvas, image: Field) -> Field:
    """Natural skin: weathered, pitted, stained with iron, some of the fresh stone showing at the rim."""
    relief = cloud(canvas, 22, 6, 0.68)
    gy, gx = np.gradient(relief)
    image += (-70 * (gx + gy)).clip(-40, 40).astype(np.float32)
    blend(image, (122, 88, 54), np.clip(0.45 + 0.35 * relief, 0, 0.85))
    blend(image, (68, 48, 34), np.clip(0.8 * (cloud(canvas, 12, 5, 0.6) - 0.5), 0, 0.75))
    return blend(image, (176, 160, 128), np.clip(0.6 * (cloud(canvas, 9, 5, 0.65) - 1.1), 0, 0.6))


def stamp(canvas: Canvas, image: Field, stone: Stone) -> None:
    """The invented quarry stamp: three bars in a ring, in worn ink."""
    size = round(min(30.0, stone.width_mm * 0.42) * canvas.ppmm)
    layer = Image.new("L", (canvas.width_px, canvas.height_px), 0)
    mark = Image.new("L", (size, size), 0)
    draw = ImageDraw.Draw(mark)
    draw.ellipse((4, 4, size - 5, size - 5), outline=255, width=max(5, size // 16))
    for i, reach in enumerate((0.42, 0.56, 0.42)):
        y = size * (0.34 + 0.16 * i)
        draw.rectangle(
            (size * (0.5 - reach / 2), y - size * 0.035, size * (0.5 + reach / 2), y + size * 0.035), fill=255
        )
    mark = mark.rotate(float(canvas.rng.normal(0, 4)), resample=Image.Resampling.BICUBIC)
    left = int(canvas.width_px * canvas.rng.uniform(0.3, 0.6))
    layer.paste(mark, (left, (canvas.height_px - size) // 2))
    wear = np.clip(0.85 + 0.22 * cloud(canvas, 9, 5, 0.6), 0.25, 1)
    paint = (150, 58, 44) if max(LOOKS[stone.look][1][1]) < 125 else (44, 52, 74)
    blend(
        image, paint, 0.8 * wear * np.asarray(layer.filter(ImageFilter.GaussianBlur(1.2)), np.float32) / 255
    )


# -- findings


def to_px(canvas: Canvas, points: Sequence[Point]) -> list[Point]:
    return [(x * canvas.ppmm, y * canvas.ppmm) for x, y in points]


def roughen(canvas: Canvas, points: list[Point], by_px: float) -> list[Point]:
    """A trace between the recorded points: midpoints set aside again and again. The recorded points stay."""
    spread = by_px
    while len(points) < 160:
        finer = [points[0]]
        for (ax, ay), (bx, by) in itertools.pairwise(points):
            reach = spread * min(1.0, np.hypot(bx - ax, by - ay) / 60)
            finer.append(
                ((ax + bx) / 2 + canvas.rng.normal(0, reach), (ay + by) / 2 + canvas.rng.normal(0, reach))
            )
            finer.append((bx, by))
        points, spread = finer, spread * 0.62
    return points


def stroke(canvas: Canvas, points: list[Point], width_px: float, soft_px: float = 0.0) -> Field:
    """Coverage 0–1 of a line, its width swelling and thinning a little."""
    layer = Image.new("L", (canvas.width_px, canvas.height_px), 0)
    draw = ImageDraw.Draw(layer)
    swell = np.interp(np.linspace(0, 1, len(points)), np.linspace(0, 1, 9), canvas.rng.uniform(0.6, 1.3, 9))
    for (a, b), factor in zip(itertools.pairwise(points), swell, strict=False):
        width = width_px * factor
        draw.line((*a, *b), fill=int(255 * min(1.0, width)), width=max(1, round(width)))
    return coverage(layer.filter(ImageFilter.GaussianBlur(max(soft_px, 0.6))))


def coverage(layer: Image.Image) -> Field:
    """A grey layer as coverage 0–1."""
    return np.asarray(layer, dtype=np.float32) / np.float32(255)


def shifted(field: Field, dx: int, dy: int) -> Field:
    """The field moved by whole pixels; what comes in at the rim is what was at the rim."""
    reach = max(abs(dx), abs(dy))
    padded = np.pad(field, reach, mode="edge")
    height, width = field.shape
    return padded[reach - dy : reach - dy + height, reach - dx : reach - dx + width]


def draw_fissure(canvas: Canvas, image: Field, finding: Finding) -> None:
    """A jagged dark line, open or tight; water held in it darkens the stone; its lip catches light."""
    points = roughen(canvas, to_px(canvas, finding.points), 5.0)
    gapes = bool(finding.catches_nail or finding.moves_when_pressed)
    line = stroke(canvas, points, 3.4 if gapes else 1.7)
    if finding.stays_dark_wet:
        halo = stroke(canvas, points, 18, soft_px=11)
        reach = np.clip(1.5 * halo * (0.75 + 0.45 * cloud(canvas, 4, 3)), 0, 1)
        image *= 1 - 0.3 * reach
    blend(image, (20, 17, 15), np.clip(line * (1.5 if gapes else 1.05), 0, 0.95))
    lip = np.clip(shifted(line, 2, 3) - line, 0, 1)
    image += lip * (62 if gapes else 26)


def draw_line(canvas: Canvas, image: Field, finding: Finding) -> None:
    """A healed line: dark where it carries manganese, pale where quartz filled it. No gap, so no lip."""
    points = roughen(canvas, to_px(canvas, finding.points), 3.0)
    pale = bool(finding.scratches_finish or finding.catches_edge)
    core = stroke(canvas, points, 3.0 if pale else 2.4)
    blend(image, (232, 226, 214) if pale else (46, 36, 32), 0.8 * core)
    blend(image, (168, 128, 84), 0.22 * stroke(canvas, points, 12, soft_px=6))


def patch(canvas: Canvas, finding: Finding, ragged: float, soft: float) -> Field:
    """Coverage 0–1 of a patch of ``size_mm`` around its point, or of the polygon its points make."""
    x, y = canvas.grid_mm()
    wobble = ragged * cloud(canvas, max(0.5, 0.45 * (finding.size_mm or 16.0)), 4, 0.6)
    if len(finding.points) < 3:
        cx = sum(p[0] for p in finding.points) / len(finding.points)
        cy = sum(p[1] for p in finding.points) / len(finding.points)
        radius = (finding.size_mm or 8.0) / 2
        distance = np.sqrt((x - np.float32(cx)) ** 2 + (y - np.float32(cy)) ** 2) / np.float32(radius)
        return np.clip((1 - distance + wobble) / soft + 0.5, 0, 1).astype(np.float32)
    layer = Image.new("L", (canvas.width_px, canvas.height_px), 0)
    ImageDraw.Draw(layer).polygon(to_px(canvas, finding.points), fill=255)
    inside = np.asarray(layer.filter(ImageFilter.GaussianBlur(3 * canvas.ppmm * soft)), np.float32) / 255
    near = np.clip(3 * inside, 0, 1)
    return (near * np.clip((inside - 0.5 + 0.5 * wobble) / soft + 0.5, 0, 1)).astype(np.float32)


def draw_inclusion(canvas: Canvas, image: Field, finding: Finding) -> None:
    """A foreign grain, glassy quartz or dull ore, sharp-edged; in a scraped hollow once relieved."""
    size = max(finding.size_mm or 1.0, 0.8)
    for cx, cy in finding.points:
        spot = Finding("inclusion", ((cx, cy),), size_mm=size)
        if finding.relieved:
            hollow = patch(canvas, Finding("inclusion", ((cx, cy),), size_mm=size + 6), 0.12, 0.5)
            blend(image, (206, 200, 188), 0.3 * hollow)
            image += 18 * np.clip(shifted(hollow, 4, 5) - shifted(hollow, -4, -5), -1, 1)
        cover = patch(canvas, spot, 0.3, 0.2)
        glassy = bool(finding.scratches_finish or finding.catches_nail or finding.relieved)
        blend(image, (30, 24, 22), 0.45 * np.clip(shifted(cover, 2, 2) - cover, 0, 1))
        blend(image, (226, 218, 200) if glassy else (58, 50, 40), 0.92 * cover)
        image += cover * (-18 + 24 * cloud(canvas, 1.6, 3, 0.7))
        at = (cx - min(size, 4) * 0.16, cy - min(size, 4) * 0.18)
        image += (
            110 * cover * patch(canvas, Finding("inclusion", (at,), size_mm=min(size, 4) * 0.3), 0.1, 0.6)
        )


def draw_chip(canvas: Canvas, image: Field, finding: Finding) -> None:
    """A piece gone from the rim: the recorded points run along the break, the rim closes the shape."""
    x, y = canvas.grid_mm()
    length, width = canvas.width_px / canvas.ppmm, canvas.height_px / canvas.ppmm
    points = list(finding.points)
    if len(points) == 1:
        cover = patch(canvas, finding, 0.25, 0.12)
    else:
        first, last = points[0], points[-1]
        corner = (
            0.0 if min(first[0], last[0]) < length / 2 else length,
            0.0 if min(first[1], last[1]) < width / 2 else width,
        )
        touches_both = first[0] in (0.0, length) and last[1] in (0.0, width)
        touches_both = touches_both or (last[0] in (0.0, length) and first[1] in (0.0, width))
        outline = roughen(canvas, to_px(canvas, points), 5) + (
            to_px(canvas, [corner]) if touches_both else []
        )
        layer = Image.new("L", (canvas.width_px, canvas.height_px), 0)
        ImageDraw.Draw(layer).polygon(outline, fill=255)
        cover = coverage(layer.filter(ImageFilter.GaussianBlur(0.9)))
    centre = np.array(points).mean(axis=0)
    distance = np.sqrt((x - np.float32(centre[0])) ** 2 + (y - np.float32(centre[1])) ** 2)
    ripples = np.sin(distance * 1.6 + 1.6 * cloud(canvas, 6, 4))
    tone = image.mean(axis=(1, 2))
    fresh = tone + 0.35 * (np.array((205, 200, 192), np.float32) - tone)
    blend(image, fresh.tolist(), 0.75 * cover)
    image += cover * (10 * ripples + 14 * cloud(canvas, 2, 4, 0.7) - 12)
    image += 70 * np.clip(shifted(cover, -2, -2) - cover, 0, 1)
    image -= 50 * np.clip(shifted(cover, 3, 3) - cover, 0, 1)


def draw_soft_spot(canvas: Canvas, image: Field, finding: Finding) -> None:
    """Where the stone gives up too easily: pale, pitted, and the water is gone from it."""
    cover = patch(canvas, finding, 0.32, 1.2)
    pale = image.mean(axis=(1, 2)) * 0.55 + 105
    blend(image, pale.tolist(), 0.6 * cover)
    image += cover * 14 * grain(canvas, 0.4)
    image -= cover * 34 * np.clip(grain(canvas, 0.7) - 1.1, 0, 1)


def draw_stain(canvas: Canvas, image: Field, finding: Finding) -> None:
    """Iron or oil that went in: no edge to feel, darker at its shore."""
    cover = patch(canvas, finding, 0.4, 1.5) * np.clip(0.75 + 0.3 * cloud(canvas, 5, 4, 0.65), 0, 1)
    shore = np.exp(-(((cover - 0.3) / 0.12) ** 2))
    blend(image, (122, 70, 34), 0.5 * cover + 0.1 * shore)


DRAW = {
    "fissure": draw_fissure,
    "line": draw_line,
    "inclusion": draw_inclusion,
    "chip": draw_chip,
    "soft_spot": draw_soft_spot,
    "stain": draw_stain,
}

# -- light and water


def light(canvas: Canvas, image: Field, *, beads: bool) -> None:
    """A window over the bench: a slanted sheen on the wet film, drier islands, beads on dense stone."""
    half = canvas.coarser(2)
    x, y = half.grid_mm()
    length, width = canvas.width_px / canvas.ppmm, canvas.height_px / canvas.ppmm
    film = cloud(half, 60, 5, 0.5)
    dry = np.clip((film - 1.3) * 5, 0, 1)
    shore = np.exp(-(((film - 1.28) / 0.04) ** 2))
    start = half.rng.uniform(0.18, 0.7) * length
    ripple = 2.2 * smooth_noise(half, 22) + 0.5 * smooth_noise(half, 4)
    across = (x - np.float32(start) - 0.42 * (y - width / 2) + ripple) / np.float32(0.1 * length)
    sheen = np.exp(-(across**2)) + 0.45 * np.exp(-(((across - 2.6) / 0.45) ** 2))
    falls_off = 1.06 - 0.16 * (x / length) - 0.08 * (y / width)
    added = 30 * sheen * (1 - 0.8 * dry) + 11 * dry + 7 * shore - 6 * shifted(shore, 1, 1)
    image *= enlarge(falls_off * (1 - 0.02 * dry), canvas.shape)
    image += enlarge(added, canvas.shape)
    if beads:
        water_beads(canvas, image)


def water_beads(canvas: Canvas, image: Field) -> None:
    """Drops that stand: a darker foot, a bright spot toward the window, light gathered on the far side."""
    n = int(canvas.rng.integers(14, 26))
    home_x, home_y = (
        canvas.rng.uniform(0.15, 0.85) * canvas.width_px,
        canvas.rng.uniform(0.2, 0.8) * canvas.height_px,
    )
    for _ in range(n):
        radius = float(canvas.rng.lognormal(0.0, 0.45)) * 1.5 * canvas.ppmm
        cx = home_x + canvas.rng.normal(0, 0.16 * canvas.width_px)
        cy = home_y + canvas.rng.normal(0, 0.22 * canvas.height_px)
        x0, x1 = max(0, int(cx - 1.5 * radius)), min(canvas.width_px, int(cx + 1.5 * radius) + 1)
        y0, y1 = max(0, int(cy - 1.5 * radius)), min(canvas.height_px, int(cy + 1.5 * radius) + 1)
        if x1 - x0 < 4 or y1 - y0 < 4:
            continue
        dx = (np.arange(x0, x1, dtype=np.float32)[None, :] - np.float32(cx)) / np.float32(radius)
        dy = (np.arange(y0, y1, dtype=np.float32)[:, None] - np.float32(cy)) / np.float32(radius * 0.92)
        lobe = 1 + 0.06 * np.sin(3 * np.arctan2(dy, dx) + cx)
        r = np.sqrt(dx * dx + dy * dy) / lobe
        inside = np.clip((1 - r) * radius, 0, 1)
        here = image[:, y0:y1, x0:x1]
        shadow = np.clip(1.25 - np.sqrt((dx - 0.12) ** 2 + (dy - 0.15) ** 2), 0, 0.3) * (1 - inside)
        here *= 1 - 0.6 * shadow
        shade = 1 + 0.2 * (dx + dy) * inside - 0.22 * inside * np.clip(r - 0.72, 0, 0.28) * 3
        here *= shade
        spot = np.exp(-(((dx + 0.36) / 0.17) ** 2) - ((dy + 0.38) / 0.13) ** 2)
        far = np.exp(-(((np.hypot(dx, dy) - 0.78) / 0.1) ** 2)) * np.clip(dx + dy, 0, 1)
        here += inside * (135 * spot + 26 * far)


def edge(canvas: Canvas, image: Field, stone: Stone) -> None:
    """Chamfered rim and rounded corners over the dark bench; an irregular piece shows more of the bench."""
    x, y = canvas.grid_mm()
    length, width = canvas.width_px / canvas.ppmm, canvas.height_px / canvas.ppmm
    corner = {"irregular": 0.28 * width, "finger": 3.0}.get(stone.form, 2.0)
    dx = np.abs(x - length / 2) - (length / 2 - corner)
    dy = np.abs(y - width / 2) - (width / 2 - corner)
    depth = corner - np.hypot(np.maximum(dx, 0), np.maximum(dy, 0)) - np.minimum(np.maximum(dx, dy), 0)
    if stone.form == "irregular":
        depth += width * (0.02 * np.minimum(cloud(canvas, 0.33 * width, 4, 0.5), 0.9) - 0.015)
    else:
        depth += 0.12 * cloud(canvas, 6, 3)
    rim = np.exp(-(((depth - 0.75) / 0.4) ** 2))
    lit = np.where((x < length / 2) ^ (y > width * 0.55), 1.0, 0.35).astype(np.float32)
    image += 26 * rim * lit
    outside = np.clip((0.15 - depth) * canvas.ppmm, 0, 1)
    blend(image, BENCH, outside)
    if stone.form == "irregular":
        image *= 1 + 0.12 * outside * cloud(canvas, 3, 3, stretch=8)
