"""How a cable is sold, and its price per metre: from a metre, a foot, or a reel of known length."""

from __future__ import annotations

import re
from decimal import Decimal

from rigfeed.plugin import Given, Note
from rigfeed_cables import supplier_words as words

FOOT_M = Decimal("0.3048")


def sold_and_price(given: Given, cells: dict[str, str], notes: list[Note]) -> None:
    """Put ``sold`` and the price of a metre into the cells; what the list leaves open is marked or left out."""
    pack = given.text("pack")
    lengths_m = words.lengths_m(pack)
    is_metre = bool(words.PER_METRE.search(pack))
    if sold := _sold(pack, lengths_m, is_metre):
        cells["sold"] = sold
    elif pack and "sold" not in cells:
        notes.append(Note("left out", "pack", f"{pack!r} is no way to sell cable that is known here"))
    if price := cells.pop("price", ""):
        amount, currency = price.split()
        said = f"{given.text('price')} {given.header('price')}"
        is_ours = "part" in given.texts  # a catalog of ours, whose prices are those of a metre
        per_metre, note = (Decimal(amount), None) if is_ours else _per_metre(Decimal(amount), said, pack, lengths_m)
        if note:
            notes.append(note)
        if per_metre is not None:
            cells["price"] = f"{per_metre.quantize(Decimal('0.0001')).normalize():f} {currency}"


def _sold(pack: str, lengths_m: tuple[float, ...], is_metre: bool) -> str:
    if least := re.search(r"\bmin(?:dest|imum|\.)?\D{0,12}(\d+)", pack, re.I):
        return f"per metre, at least {least[1]} m"
    if is_metre:
        return "per metre"
    if not lengths_m:
        return "per foot" if words.PER_FOOT.search(pack) else ""
    sort = "kit" if words.KIT.search(pack) else "length"
    return f"{sort} {' or '.join(f'{length:g} m' for length in lengths_m)}"


def _per_metre(
    amount: Decimal, said: str, pack: str, lengths_m: tuple[float, ...]
) -> tuple[Decimal | None, Note | None]:
    """The price of a metre, and what to say about it."""
    if hundred := re.search(r"/\s*(100|1000)\s*m\b|(?:per|pro|%)\s*(100|1000)\s*m\b", said, re.I):
        return amount / Decimal(hundred[1] or hundred[2]), None
    if words.PER_FOOT.search(said) or (words.PER_FOOT.search(pack) and not words.PER_METRE.search(said)):
        return amount / FOOT_M, None
    is_metre = bool(words.PER_METRE.search(pack))
    if words.PER_METRE.search(said) or (not words.KIT.search(pack) and (is_metre or re.search(r"\bmin", pack))):
        return amount, None
    return _by_pack(amount, said, pack, lengths_m)


def _by_pack(
    amount: Decimal, said: str, pack: str, lengths_m: tuple[float, ...]
) -> tuple[Decimal | None, Note | None]:
    """The price of a metre of what is sold by the length; a kit holds more than cable."""
    if words.KIT.search(pack):
        return None, Note("left out", "price", "is that of a kit, not of a length of cable")
    if len(lengths_m) != 1:
        says = "does not say for how much of the cable it is" if pack else "does not say whether it is that of a metre"
        return None, Note("left out", "price", f"{says}: treat price as per m")
    per_metre = amount / Decimal(str(lengths_m[0]))
    if words.PER_PACK.search(said):
        return per_metre, None
    readings = (f"{per_metre:.3g} a metre", f"{amount:.3g} a metre")
    return per_metre, Note("mark", "price", f"of the metre or of all {lengths_m[0]:g} m?", readings, readings[0])
