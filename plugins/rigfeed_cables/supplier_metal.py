"""Resistance and metal of a row of a cable list: what the resistance shows goes before what the list claims."""

from __future__ import annotations

import re
from functools import lru_cache

from rigfeed.plugin import Given
from rigfeed_cables import supplier_sizes as sizes
from rigfeed_cables import supplier_words as words
from rigfeed_cables.cable import COPPER
from rigfeed_cables.supplier_row import NEGATIVE, Refused, Row, refuse

MILE_KM = 1.609344
FEET_PER_KM = 1 / 0.3048  # 1000 ft are so many of a km, turned over
COPPER_BAND = (0.0163, 0.0212)  # ohm mm2/m at 20 degC: pure to tinned, lay and tolerance of the area in it
PURE = 0.017241  # IEC 60028
LAY = 1.07  # what lay and thin strands add, as in IEC 60228 18.4 for 17.241
PLAIN_LEAST = 0.0169  # 2 % under the copper of IEC 60028, since lists print two digits
THIN_MM2, THIN_MOST = 0.25, 0.0225  # of thin tinned wire: FAA AC 43.13-1B table 11-9 prints 0.0224 for 24 AWG
PLAIN_MOST, TINNED_MOST = 0.0201, 0.0208  # IEC 60228, classes 5 and 6, highest of table 3, and its rounding
CLAD_BAND = (0.0245, 0.0320)  # to 62.9 % of copper's conductivity (ASTM B566, 10A) with PLAIN_MOST for the copper
COPPER_RHO, CLAD_RHO = 0.0184, 0.0275  # what lists mostly have
LIGHT = ("copper-clad aluminium", "aluminium")
HIGH = {  # what a resistance that is not given is taken as: the high end of lists of such cable
    "copper": 0.0195, "tinned copper": 0.0205, "copper-clad aluminium": 0.0310, "aluminium": 0.0310,
}
_WARM = re.compile(r"(?:@|\b(?:at|bei|bij|vid|a|à))\s*(\d{1,2})\s*°?\s*c\b|(?<!\d)(\d{2})\s*°\s*c\b", re.I)
_UNIT = re.compile(r"@.*|/\s*1000\s*\S+|/\s*100\s*m\b|per 1000\s*\S+|\bmax\b|[<≤]", re.I)
_OHM_UNITS = tuple((factor, re.compile(pattern, re.I)) for factor, pattern in (
    (FEET_PER_KM, r"ohms?\s*/\s*(?:1000\s*(?:ft|feet|')|kft|mft\b)|per 1000\s*(?:ft|feet)|/\s*1000\s*(?:ft|')|/\s*kft"),
    (FEET_PER_KM, r"m(?:illi)?\s?(?:ohms?|ω)\s*(?:/|per)\s*(?:ft|foot)"), (10.0, r"/\s*100\s*m\b"),
    (1.0, r"m(?:illi)?\s?(?:ohms?|ω)\s*(?:/|per|pro)\s*m"), (0.001, r"m(?:illi)?\s?(?:ohms?|ω)\s*(?:/|per|pro)\s*km\b"),
    (1.0, r"(?:/|per|pro)\s*km\b"),
    (1 / MILE_KM, r"(?:ohms?|ω)\s*(?:/|per)\s*mi(?:le)?\b"),
    (1000.0, r"(?:ohms?|ω)\s*(?:/|per)\s*m\b"),
))


def _ohms_per_km(row: Row) -> tuple[tuple[tuple[str, float], ...], bool]:
    """The readings of the resistance at 20 degC as (unit, ohm per km), and whether the list names the unit."""
    if "ohm_per_km" in row.cells:
        return (("ohm/km", float(row.cells["ohm_per_km"])),), True
    text = row.given.text("ohm")
    return _read(text, row.given.header("ohm"), row.given.comma) if text else ((), True)


@lru_cache(maxsize=1000)
def _read(text: str, header: str, comma: bool) -> tuple[tuple[tuple[str, float], ...], bool]:
    numbers = Given({}, comma=comma).figures(_UNIT.sub("", text))
    if NEGATIVE.match(text) or len(numbers) != 1 or not numbers[0]:
        raise refuse("ohm", f"{text!r} is not one resistance")
    warm = _WARM.search(f"{text} {header}")
    cold = numbers[0] / (1 + 0.00393 * (float(warm[1] or warm[2]) - 20)) if warm else numbers[0]
    for told in (text, header):
        for factor, pattern in _OHM_UNITS:
            if match := pattern.search(told):
                return ((match[0], cold * factor),), True
    return (("ohm/km", cold), ("ohm/1000 ft", cold * FEET_PER_KM), ("ohm/m", 1000 * cold)), False


def areas_by_ohm(row: Row) -> list[float]:
    """The areas that the resistance leaves open, of copper and of clad aluminium [mm2]."""
    ohms, _ = _ohms_per_km(row)
    return [1000 * rho / ohm for _, ohm in ohms for rho in (COPPER_RHO, CLAD_RHO)]


def supported(row: Row, area_mm2: float) -> bool:
    """Whether the resistance is that of such an area; of clad aluminium only where the row names it. A name of an
    outside diameter, of which less is copper, would look like more clad aluminium.
    """
    ohms, _ = _ohms_per_km(row)
    rho = CLAD_RHO if words.material_in(row.words) in LIGHT else COPPER_RHO
    return any(sizes.same(1000 * rho / ohm, area_mm2) for _, ohm in ohms)


def _within(band: tuple[float, float], ohm: float, areas_mm2: tuple[float, ...]) -> bool:
    return any(band[0] <= ohm * area / 1000 <= band[1] for area in areas_mm2)


def resistance(row: Row, area_mm2: float, areas_mm2: tuple[float, ...]) -> None:
    """Resistance and metal: what the resistance shows goes before what the list claims."""
    claim = row.cells.get("material") or words.material_in(row.words)
    ohms, is_named = _ohms_per_km(row)
    if not ohms:
        _derived(row, area_mm2, claim)
        return
    thin = claim == "tinned copper" and area_mm2 < THIN_MM2
    band = (COPPER_BAND[0], THIN_MOST) if thin else COPPER_BAND
    copper = [(unit, ohm) for unit, ohm in ohms if _within(band, ohm, areas_mm2)]
    clad = [(unit, ohm) for unit, ohm in ohms if _within(CLAD_BAND, ohm, areas_mm2)]
    if not copper and not clad:
        raise _no_metal(row, ohms[0], area_mm2)
    if len(copper) + len(clad) > 1:
        readings = tuple(f"{ohm:.3g} ohm/km" for _, ohm in copper + clad)
        raise refuse("ohm", f"{row.given.text('ohm')!r} has no unit and fits more than one metal", readings)
    unit, ohm = (copper or clad)[0]
    if not is_named:
        row.mark("ohm", f"{row.given.text('ohm')!r} has no unit", likely=f"{unit}, which fits the size")
    row.cells.setdefault("ohm_per_km", f"{ohm:.6g}")
    _metal(row, claim, bool(copper), 1000 * ohm * area_mm2 / 1e6)
    if copper and row.cells["material"] in COPPER:
        _tell_copper(row, ohm, area_mm2)


def _tell_copper(row: Row, ohm: float, area_mm2: float) -> None:
    """Mark a resistance that copper of the area does not have, or should not."""
    rho = ohm * area_mm2 / 1000
    if rho < PLAIN_LEAST:
        readings = (f"{ohm:.3g} ohm/km and more metal", f"{1000 * PURE / area_mm2:.3g} ohm/km")
        row.mark("ohm", f"{ohm:.3g} ohm/km is less than copper of {area_mm2:.3g} mm2 has", readings)
    elif rho > (TINNED_MOST if row.cells["material"] == "tinned copper" else PLAIN_MOST):
        says = f"{ohm:.3g} ohm/km is more than copper of {area_mm2:.3g} mm2 should have"
        row.mark("ohm", says, (f"{1000 * PURE * LAY / ohm:.3g} mm2 of copper", "coated strands", "another metal"))


def _metal(row: Row, claim: str, is_copper: bool, rho: float) -> None:
    is_light = claim in LIGHT
    row.cells["material"] = claim or "copper"
    if not is_copper and not is_light:
        row.cells["material"] = "copper-clad aluminium"
        said = f"the list says {claim}" if claim else "the list names no metal"
        row.mark("ohm", f"{rho:.4f} ohm mm2/m is no copper; {said}", likely="copper-clad aluminium")
    elif is_copper and is_light:
        row.mark("material", f"the list says {claim}, its resistance is that of copper", ("copper", claim), claim)
    elif is_light and words.COPPER.search(re.sub(words.CLAD, "", row.words)):
        row.mark("material", "the row names copper too", ("copper", claim), claim)


def _no_metal(row: Row, stated: tuple[str, float], area_mm2: float) -> Refused:
    _, ohm = stated
    others = {"ohm/1000 ft": FEET_PER_KM, "ohm/km": 1 / FEET_PER_KM, "10 times less": 0.1, "10 times more": 10.0}
    readings = tuple(
        f"{row.given.text('ohm')!r} as {name}"
        for name, factor in others.items() if _within(COPPER_BAND, ohm * factor, (area_mm2,))
    )
    rho = ohm * area_mm2 / 1000
    says = f"{ohm:.3g} ohm/km of {area_mm2:.3g} mm2 is {rho:.4f} ohm mm2/m: neither copper nor clad aluminium"
    return refuse("ohm", says, readings)


def _derived(row: Row, area_mm2: float, claim: str) -> None:
    """A resistance from the area: the high end for the metal, which is the worse one where two are named."""
    material = claim or "copper"
    ohm = 1000 * HIGH[material] / area_mm2
    row.cells |= {"ohm_per_km": f"{ohm:.4g}", "material": material, "confidence": "derived"}
    how = f"from the area with {HIGH[material]:g} ohm mm2/m, the high end of {material}"
    row.mark("ohm", f"not given; {ohm:.3g} ohm/km {how}")
    if material == "copper-clad aluminium" and words.COPPER.search(re.sub(words.CLAD, "", row.words)):
        row.mark("material", "the row names copper and clad aluminium", ("copper", material), material)
    elif not claim:
        row.mark("material", "not given and no resistance to tell it by", likely="copper")
