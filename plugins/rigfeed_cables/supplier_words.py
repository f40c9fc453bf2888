"""The words of cable lists: materials, insulations, colours, cores, temperatures, how it is sold; in six languages."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TypeVar

_CODES = {
    "RD": "red rd rot rouge rojo rosso rood röd rt", "BK": "black bk blk schwarz noir negro nero zwart svart sw",
    "BN": "brown bn brn braun brun marron marrón marrone bruin br", "OG": "orange og oranje naranja arancione or",
    "YE": "yellow ye yel gelb jaune amarillo giallo geel gul ge", "GN": "green gn grn grün gruen vert verde groen grön",
    "BU": "blue bu blu blau bleu azul blauw blå bl", "VT": "violet vt vio violett purple viola paars vi lila",
    "GY": "grey gray gy gry grau gris grigio grijs grå gr",
    "WH": "white wh wht weiss weiß blanc blanco bianco wit vit ws",
    "PK": "pink pk rosa rose roze rs", "TQ": "turquoise tq türkis tuerkis", "SR": "silver sr silber argent",
    "GD": "gold gd or doré",
}
COLOUR_WORDS = {word: code for code, words in reversed(_CODES.items()) for word in words.split()}
_EARTH = re.compile(
    r"\b(?:gr(?:ün|een|uen|oen)?|vert|verde|grn|gn)[-/ ]?(?:ge(?:lb|el)?|yellow|jaune|giallo|amarillo|yel|ye)\b", re.I
)
_ADJECTIVES = {"trans", "transparent", "clear", "light", "dark", "hell", "dunkel", "with", "stripe", "and", "und", "et"}

T = TypeVar("T")


def _compiled(pairs: tuple[tuple[T, str], ...]) -> tuple[tuple[T, re.Pattern[str]], ...]:
    return tuple((name, re.compile(pattern, re.I)) for name, pattern in pairs)


_INSULATIONS = _compiled((
    ("silicone", r"silicon|silikon|\bsir?\b"), ("xlpe", r"xlp|vpe\b|\bxl-?pe|cross-?link"), ("epr", r"\bepr\b|\bepdm"),
    ("rubber", r"rubber|gummi|caoutchouc|neopren"), ("pvc", r"pvc|vinyl"),
))
_CORES = _compiled((
    (2, r"\btwin\b|\btwo[ -]?core|\bzwei-?adrig|\b2[ -]?core|\b2-?adrig|\bbifilaire|\bpair\b|\bduplex\b|\bbipolar"),
    (3, r"\bthree[ -]?core|\bdrei-?adrig|\b3[ -]?core|\b3-?adrig|\btriple\b"),
    (4, r"\b4[ -]?core|\b4-?adrig|\bfour[ -]?core"),
    (5, r"\b5[ -]?core|\b5-?adrig"), (7, r"\b7[ -]?core|\b7-?adrig|\bseven[ -]?core"),
    (1, r"\bsingle\b|\b1[ -]?core|\beinadrig|\bein-?adrig|\bunipolaire"),
))
CLAD = re.compile(r"\bcca|copper[ -]?clad|\bclad\b|kupferkaschiert|copper look|cu/al|\bccs\b", re.I)
TINNED = re.compile(
    r"tinned|verzinnt|estañad|estanhad|förten[nt]|étamé|etame|stagnat|vertind|\btcu?\b|\bsn\b", re.I
)
ALUMINIUM = re.compile(r"alumin(?:i)?um|\balu\b|\bal\b", re.I)
COPPER = re.compile(r"\bofc\b|\bcopper\b|kupfer|cuivre|\brame\b|\bcu\b|\bkoper\b|cobre", re.I)


@lru_cache(maxsize=5000)
def colours_in(text: str) -> tuple[str, tuple[str, ...]]:
    """The IEC 60757 codes of a colour cell, and the words that are none.

    >>> colours_in("RED/BLK"), colours_in("trans blue"), colours_in("GNYE"), colours_in("asst")
    (('RD BK', ()), ('BU', ()), ('GNYE', ()), ('', ('asst',)))
    """
    codes, strange = [], []
    for word in re.findall(r"[^\W\d_]+", _EARTH.sub("GNYE", text)):
        if word == "GNYE" or re.fullmatch(f"(?:{'|'.join(_CODES)}){{1,3}}", word):
            codes.append(word)
        elif code := COLOUR_WORDS.get(word.lower()):
            codes.append(code)
        elif word.lower() not in _ADJECTIVES:
            strange.append(word)
    return " ".join(dict.fromkeys(codes)), tuple(strange)


@lru_cache(maxsize=5000)
def insulation_in(text: str) -> str:
    """The insulation that a text names, as the catalog has it; empty if none."""
    return next((name for name, pattern in _INSULATIONS if pattern.search(text)), "")


@lru_cache(maxsize=5000)
def cores_in(text: str) -> int | None:
    """The number of cores that a text names."""
    return next((count for count, pattern in _CORES if pattern.search(text)), None)


@lru_cache(maxsize=5000)
def material_in(text: str) -> str:
    """The metal that a text names: the worse one, where it names two."""
    for name, pattern in (("copper-clad aluminium", CLAD), ("aluminium", ALUMINIUM), ("tinned copper", TINNED)):
        if pattern.search(text):
            return name
    return "copper" if COPPER.search(text) else ""


@lru_cache(maxsize=5000)
def celsius_in(text: str, header: str) -> tuple[float | None, str]:
    """The class of a temperature cell [degC], and what was chosen where it gives several.

    >>> celsius_in("-40..80", ""), celsius_in("125C", ""), celsius_in("70/90", "")
    ((80.0, ''), (125.0, ''), (70.0, 'two figures, 70 and 90: the lower was taken'))
    """
    bare = re.sub(r"\b(?:class|klasse|t)\s*(?=\d)", "", text, flags=re.I)
    numbers = [float(number.replace(",", ".")) for number in re.findall(r"\d+(?:[.,]\d+)?", bare)]
    if re.search(r"°?\s*F\b", text) or "°f" in header:
        numbers = [round((number - 32) / 1.8, 1) for number in numbers]
    if not numbers:
        return None, ""
    if len(numbers) == 1:
        return numbers[0], ""
    if re.match(r"\s*[-\u2212\u2013]|\s*min", text):
        return numbers[-1], ""
    low = min(numbers)
    return low, f"two figures, {' and '.join(f'{number:g}' for number in numbers)}: the lower was taken"


_LENGTH = re.compile(r"(\d+(?:[.,]\d+)?)\s*(m|mtrs?|met(?:er|re)s?|mt|ft|feet|foot)(?![A-Za-z])|(\d+)(')", re.I)


@lru_cache(maxsize=5000)
def lengths_m(text: str) -> tuple[float, ...]:
    """The lengths that a text names [m]; feet are converted."""
    return tuple(
        float(feet) * 0.3048 if feet
        else float(number.replace(",", ".")) * (0.3048 if unit.lower() in ("ft", "feet", "foot") else 1.0)
        for number, unit, feet, _ in _LENGTH.findall(text)
    )


PER_METRE = re.compile(
    r"(?:/|\bper\b|\bpro\b|\bpar\b|\bje\b)\s*(?:m|mtr|met(?:er|re)|lfm)\b"
    r"|\bcut to length|meterware|au mètre|\blfm\b",
    re.I,
)
_PACKS = "reel|spool|roll|coil|rolle|ring|bund|pack|piece|ea|stk|st"
PER_PACK = re.compile(rf"(?:/|\bper\b|\bpro\b)\s*(?:{_PACKS})\b|\bea(?:ch)?\b", re.I)
PER_FOOT = re.compile(r"(?:/|\bper\b)\s*(?:ft|foot)\b", re.I)
KIT = re.compile(r"\bkit\b|\bset\b|assort|\bsortiment\b", re.I)
