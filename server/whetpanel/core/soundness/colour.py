"""Mud shade from a photo: sRGB to CIE L*, against a white card in the same picture.

A camera is an aid here, never a must: its white balance and exposure are unknown, so a patch of mud is only
read relative to a white card beside it. The reading is kept beside the tester's own.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from whetpanel.errors import FieldError, Invalid

Triple = tuple[float, float, float]

SRGB_TO_XYZ = (
    (0.4124564, 0.3575761, 0.1804375),
    (0.2126729, 0.7151522, 0.0721750),
    (0.0193339, 0.1191920, 0.9503041),
)
"""Linear sRGB to XYZ for D65 (IEC 61966-2-1 primaries)."""

WHITE = (sum(SRGB_TO_XYZ[0]), sum(SRGB_TO_XYZ[1]), sum(SRGB_TO_XYZ[2]))

CARD_Y = 0.876
"""Reflectance taken for a white card: about Munsell N 9.5, L* 95."""

SHADE_LIMITS = (70.0, 55.0, 40.0, 25.0)
"""L* from which mud counts as shade 1, 2, 3 and 4; darker is 5. Common practice, no source."""


@dataclass(frozen=True)
class MudShade:
    """Lightness of the mud (0 black, 100 white) against the card, and the shade 1–5 it suggests."""

    lightness: float
    shade: int


def linear(c: float) -> float:
    """One sRGB channel (0–255) as linear light (0–1)."""
    c /= 255
    return c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4


def luminance(rgb: Triple) -> float:
    """Relative luminance Y (0–1) of an sRGB colour (0–255 a channel)."""
    return sum(k * linear(c) for k, c in zip(SRGB_TO_XYZ[1], rgb, strict=True)) / WHITE[1]


def lightness(y: float) -> float:
    """CIE L* (0–100) of a relative luminance (0–1)."""
    return 116 * y ** (1 / 3) - 16 if y > 216 / 24389 else y * 24389 / 27


def lab(rgb: Triple) -> Triple:
    """CIE L*a*b* (D65, 2°) of an sRGB colour."""
    light = [linear(c) for c in rgb]
    x, y, z = (
        sum(k * c for k, c in zip(row, light, strict=True)) / white
        for row, white in zip(SRGB_TO_XYZ, WHITE, strict=True)
    )
    fx, fy, fz = _f(x), _f(y), _f(z)
    return (116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz))


def _f(t: float) -> float:
    return t ** (1 / 3) if t > 216 / 24389 else (24389 / 27 * t + 16) / 116


def ciede2000(one: Triple, other: Triple) -> float:
    """Colour difference ΔE00 of two L*a*b* colours, all weights 1.

    References   Sharma, Wu & Dalal 2005, Color Research & Application 30:21–30; symbols as there.
    """
    L1, a1, b1 = one
    L2, a2, b2 = other
    C_mean = (math.hypot(a1, b1) + math.hypot(a2, b2)) / 2
    G = 0.5 * (1 - math.sqrt(C_mean**7 / (C_mean**7 + 25.0**7)))
    a1p, a2p = (1 + G) * a1, (1 + G) * a2
    C1p, C2p = math.hypot(a1p, b1), math.hypot(a2p, b2)
    h1p, h2p = _hue_deg(a1p, b1), _hue_deg(a2p, b2)
    grey = C1p * C2p == 0
    dh = 0.0 if grey else h2p - h1p
    if dh > 180:
        dh -= 360
    elif dh < -180:
        dh += 360
    dH = 2 * math.sqrt(C1p * C2p) * math.sin(math.radians(dh / 2))
    h_mean = h1p + h2p if grey else (h1p + h2p) / 2
    if not grey and abs(h1p - h2p) > 180:
        h_mean += 180 if h1p + h2p < 360 else -180
    T = (
        1
        - 0.17 * math.cos(math.radians(h_mean - 30))
        + 0.24 * math.cos(math.radians(2 * h_mean))
        + 0.32 * math.cos(math.radians(3 * h_mean + 6))
        - 0.20 * math.cos(math.radians(4 * h_mean - 63))
    )
    Lp, Cp = (L1 + L2) / 2, (C1p + C2p) / 2
    S_L = 1 + 0.015 * (Lp - 50) ** 2 / math.sqrt(20 + (Lp - 50) ** 2)
    S_C = 1 + 0.045 * Cp
    S_H = 1 + 0.015 * Cp * T
    d_theta = 30 * math.exp(-(((h_mean - 275) / 25) ** 2))
    R_T = -2 * math.sqrt(Cp**7 / (Cp**7 + 25.0**7)) * math.sin(math.radians(2 * d_theta))
    dL, dC, dHs = (L2 - L1) / S_L, (C2p - C1p) / S_C, dH / S_H
    return math.sqrt(dL * dL + dC * dC + dHs * dHs + R_T * dC * dHs)


def _hue_deg(a: float, b: float) -> float:
    if a == 0 and b == 0:
        return 0.0
    h = math.degrees(math.atan2(b, a))
    return h + 360 if h < 0 else h


def mud_shade(mud: Sequence[float], card: Sequence[float]) -> MudShade:
    """Lightness of a patch of mud from its mean sRGB colour and that of a white card in the same light.

    Raises Invalid if a colour is no colour, or the card is overexposed, too dark, or darker than the mud.
    """
    mud_rgb, card_rgb = _colour(mud, "mud"), _colour(card, "card")
    if max(card_rgb) >= 254:
        raise _refuse(
            "card", "The card is overexposed, so nothing can be read against it: take a darker photo."
        )
    card_y, mud_y = luminance(card_rgb), luminance(mud_rgb)
    if card_y < 0.15:
        raise _refuse("card", "The card looks too dark: tap the white card, in the light the mud lies in.")
    if mud_y > card_y:
        raise _refuse("mud", "The mud looks lighter than the card: swap the two, or light both alike.")
    value = lightness(mud_y / card_y * CARD_Y)
    shade = 1 + sum(value < limit for limit in SHADE_LIMITS)
    return MudShade(value, shade)


def munsell_y(value: float) -> float:
    """Luminance (0–100) of a Munsell grey, by the polynomial of ASTM D1535; to check a grey card's
    patches.
    """
    V = value
    return 1.1914 * V - 0.22533 * V**2 + 0.23352 * V**3 - 0.020484 * V**4 + 0.00081939 * V**5


def _colour(rgb: Sequence[float], field: str) -> Triple:
    if len(rgb) != 3 or not all(math.isfinite(c) and 0 <= c <= 255 for c in rgb):
        raise _refuse(field, "A colour is three numbers from 0 to 255: red, green, blue.")
    return (float(rgb[0]), float(rgb[1]), float(rgb[2]))


def _refuse(field: str, message: str) -> Invalid:
    return Invalid(message, [FieldError(field, message)])
