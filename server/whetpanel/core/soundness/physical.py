"""Density, pores and water uptake, in the manner of the stone standards, with what keeps us from the letter
of them.

A bench stone 20–30 mm thick is thinner than the specimens the standards ask for, and slate is outside ASTM
C97 altogether. So every result here is "in the manner of" its standard, and ``specimen_limits`` says why.
"""

import math

from whetpanel.errors import FieldError, Invalid

WATER_KG_M3 = 998.0
"""Density of water at 20 °C, as EN 1936 uses it."""

QUARTZ_G_CM3 = 2.65
"""Grain density of quartz."""

QUARTZ_KINDS = ("novaculite", "chert", "sandstone", "siltstone")
"""Rocks whose grains are quartz for the most part; total porosity is only told for these."""

QUICK_BELOW_S = 60.0
AT_ONCE_BELOW_S = 5.0
SLOW_BELOW_S = 300.0


def _need(ok: bool, field: str, message: str) -> None:
    if not ok:
        raise Invalid(message, [FieldError(field, message)])


def density_g_cm3(mass_g: float, length_mm: float, width_mm: float, thickness_mm: float) -> float:
    """Density of a true rectangular block from its mass and sizes, g/cm³."""
    volume_mm3 = length_mm * width_mm * thickness_mm
    _need(mass_g > 0 and volume_mm3 > 0, "mass_g", "Mass and sizes must be above 0.")
    return mass_g / volume_mm3 * 1000


def total_porosity_percent(bulk_g_cm3: float, grain_g_cm3: float = QUARTZ_G_CM3) -> float:
    """Pores of all kinds, %: 1 − bulk density over grain density. May come out below 0 with heavy grains."""
    _need(bulk_g_cm3 > 0 and grain_g_cm3 > 0, "density_g_cm3", "Densities must be above 0.")
    return (1 - bulk_g_cm3 / grain_g_cm3) * 100


def absorption_percent(dry_g: float, wet_g: float) -> float:
    """Water absorption by mass, %, in the manner of EN 13755 and ASTM C97: (wet − dry)/dry · 100."""
    _need(dry_g > 0, "dry_mass_g", "The dry mass must be above 0.")
    _need(wet_g >= dry_g, "wet_mass_g", "The wet mass is below the dry mass: weigh again, or swap the two.")
    return (wet_g - dry_g) / dry_g * 100


def _displaced_g(dry_g: float, wet_g: float, hung_g: float) -> float:
    _need(dry_g > 0, "dry_mass_g", "The dry mass must be above 0.")
    _need(wet_g >= dry_g, "wet_mass_g", "The wet mass is below the dry mass: weigh again, or swap the two.")
    _need(0 <= hung_g < dry_g, "hung_mass_g", "The mass hung in water must be below the dry mass.")
    return wet_g - hung_g


def bulk_specific_gravity(dry_g: float, wet_g: float, hung_g: float) -> float:
    """Bulk specific gravity, in the manner of ASTM C97: dry over (wet − hung in water)."""
    return dry_g / _displaced_g(dry_g, wet_g, hung_g)


def apparent_density_kg_m3(
    dry_g: float, wet_g: float, hung_g: float, water_kg_m3: float = WATER_KG_M3
) -> float:
    """Apparent density, kg/m³, in the manner of EN 1936: dry · ρ_w / (wet − hung in water)."""
    return dry_g * water_kg_m3 / _displaced_g(dry_g, wet_g, hung_g)


def open_porosity_percent(dry_g: float, wet_g: float, hung_g: float) -> float:
    """Pores that water reaches, %, in the manner of EN 1936: (wet − dry)/(wet − hung in water) · 100."""
    return (wet_g - dry_g) / _displaced_g(dry_g, wet_g, hung_g) * 100


def solid_specific_gravity(dry_g: float, hung_g: float) -> float:
    """Specific gravity of the solid with its closed pores: dry over (dry − hung in water)."""
    _need(0 <= hung_g < dry_g, "hung_mass_g", "The mass hung in water must be below the dry mass.")
    return dry_g / (dry_g - hung_g)


def capillarity_g_m2_s05(taken_up_g: float, area_mm2: float, time_s: float) -> float:
    """Capillary uptake C, g/(m²·√s), in the manner of EN 1925: mass taken up over (wetted area · √time)."""
    _need(taken_up_g >= 0, "taken_up_g", "The mass taken up cannot be negative: weigh again.")
    _need(area_mm2 > 0 and time_s > 0, "time_s", "The wetted area and the time must be above 0.")
    return taken_up_g / (area_mm2 * 1e-6 * math.sqrt(time_s))


def uptake_class(water_uptake_s: float | None, drop_state: str | None) -> str | None:
    """How the face takes a drop: beads, slow, quick or at_once. A timed drop outranks a looked-at one.

    The limits (300, 60 and 5 s) are common practice, no source; the class is a sign, not a grade.
    """
    if water_uptake_s is None:
        return drop_state
    if water_uptake_s < AT_ONCE_BELOW_S:
        return "at_once"
    if water_uptake_s < QUICK_BELOW_S:
        return "quick"
    return "slow" if water_uptake_s < SLOW_BELOW_S else "beads"


def specimen_limits(kind: str, length_mm: float, width_mm: float, thickness_mm: float) -> tuple[str, ...]:
    """Why this stone is not a specimen of the standards, in sentences; empty if nothing speaks against it.

    References   EN 13755: edge 70 ± 5 or 50 ± 5 mm. ASTM C97: least dimension 50–75 mm, volume to surface
                 8–12.5 mm, at least five specimens, slate excluded.
    """
    limits = []
    sizes = (length_mm, width_mm, thickness_mm)
    if not all(45 <= s <= 55 for s in sizes) and not all(65 <= s <= 75 for s in sizes):
        limits.append("EN 13755 asks for cubes or the like with edges of 50 ± 5 or 70 ± 5 mm.")
    if not 50 <= min(sizes) <= 75:
        limits.append("ASTM C97 asks for a least dimension of 50 to 75 mm.")
    surface = 2 * (length_mm * width_mm + length_mm * thickness_mm + width_mm * thickness_mm)
    if not 8 <= length_mm * width_mm * thickness_mm / surface <= 12.5:
        limits.append("ASTM C97 asks for a volume of 8 to 12.5 mm times the surface.")
    if kind in ("slate", "garnet_slate"):
        limits.append("Slate is outside ASTM C97.")
    limits.append("ASTM C97 asks for at least five specimens; this is one stone.")
    return tuple(limits)
