"""The reading of a row of a supplier's cable list: every figure held against the others and against copper."""

from __future__ import annotations

import math
import re
from dataclasses import replace

from rigfeed.plugin import Given, Intake, Meaning, Reading
from rigfeed_cables import supplier_sizes as sizes
from rigfeed_cables import supplier_words as words
from rigfeed_cables.cable import MATERIALS
from rigfeed_cables.columns import GAUGE_NAMES
from rigfeed_cables.supplier_metal import areas_by_ohm, resistance, supported
from rigfeed_cables.supplier_price import sold_and_price
from rigfeed_cables.supplier_ratings import surroundings
from rigfeed_cables.supplier_row import NEGATIVE, Refused, Row, refuse

THIN_MM = 0.15  # the thinnest wall of an insulation; common practice, no source
MOST_THICK = 8.0  # of the outside against the metal; thin cores in a thick sheath have 6; common practice, no source
_COUNTED = re.compile(r"(\d{1,2})\s*[x×*g]\s*\d", re.I)
_NAMED = re.compile(r"(?<![\d.,])(\d{1,2})\s*[x×]\s*(\d+(?:[.,]\d+)?)(?![\d.,])", re.I)
_AUTO = re.compile(r"\bauto", re.I)
_SWG = re.compile(r"\bswg\b", re.I)
_INCH = re.compile(r"\"|\bin(?:ch(?:es)?)?\b")
MEANINGS = (
    Meaning("size", (
        "size", "cross section", "cross-section", "section", "querschnitt", "nennquerschnitt", "größe", "mm²", "mm2",
        "sq mm", "sqmm", "doorsnede", "sección", "sezione", "nominal size", "conductor size", "cable size", "wire size",
        "area", "csa", "cores x size", "cores x mm²", "cores x mm2", "n x mm²", "adern x querschnitt",
    )),
    Meaning("gauge", ("gauge", "awg", "b&s", "b & s", "awg size", "ga")),
    Meaning("strands", (
        "strands", "stranding", "strand", "construction", "aufbau", "litzenaufbau", "leiteraufbau", "composition",
        "conductor", "no/dia", "no x dia", "strands/dia", "cond", "leiter", "formazione",
        "composición", "composição", "opbouw", "samenstelling", "uppbyggnad",
    )),
    Meaning("od", (
        "od", "o.d", "outside diameter", "outer diameter", "overall diameter", "außendurchmesser", "aussendurchmesser",
        "ø", "⌀", "dia", "diameter", "durchmesser", "außen-ø", "diamètre", "diámetro", "diametro", "buitendiameter",
        "nominal od", "overall", "insulation od", "size over insulation",
    )),
    Meaning("amps", (
        "amps", "amp", "current", "rating", "rated current", "strom", "belastbarkeit", "strombelastbarkeit", "ampacity",
        "a", "intensité", "corriente", "corrente", "max current", "current rating", "max amps", "dauerstrom",
    )),
    Meaning("ohm", (
        "ohm", "ohms", "resistance", "widerstand", "leiterwiderstand", "ω", "ohm/km", "résistance", "resistencia",
        "resistenza", "weerstand", "dc resistance", "conductor resistance", "mohm/m", "ω/km", "res",
    )),
    Meaning("temp", (
        "temp", "temperature", "temp class", "temp rating", "temperatur", "temperaturbereich", "température",
        "temperatura", "°c", "temp range", "max temp", "rating c", "klasse", "temperature range", "temperature class",
        "max °c",
    )),
    Meaning("material", (
        "material", "conductor material", "metal", "werkstoff", "leitermaterial", "matériau", "materiaal",
    )),
    Meaning("insulation", (
        "insulation", "isolation", "isolierung", "sheath", "mantel", "jacket", "isolant", "insulation type",
    )),
    Meaning("colours", (
        "colour", "color", "colours", "colors", "farbe", "farben", "couleur", "colore", "kleur", "färg", "col",
    )),
    Meaning("cores", ("cores", "core", "no of cores", "adern", "aderzahl", "conducteurs", "no. of cores")),
)


def read(given: Given, schema: Reading) -> Reading:
    """A row of a cable list as the catalog has it, or why not."""
    row = Row(given, dict(schema.cells), list(schema.notes))
    try:
        _outside(row)
        area_mm2, areas_mm2 = _size(row)
        resistance(row, area_mm2, areas_mm2)
        surroundings(row)
        sold_and_price(given, row.cells, row.notes)
    except Refused as refused:
        row.notes.append(refused.note)
    return Reading(row.cells, tuple(row.notes))


def _outside(row: Row) -> None:
    """Outside diameter and height [mm], and the number of cores; of a range or a tolerance the largest counts."""
    stated = _cores(row)
    if stated and "core_count" not in row.cells and stated > 1:
        row.cells["core_count"] = str(stated)
    text = row.given.text("od")
    if not text:
        if "od_mm" not in row.cells:
            raise refuse("od", "no outside diameter: holes, grommets and sleeves need it")
        return
    is_inch = bool(_INCH.search(f"{text} {row.given.header('od')}")) and "mm" not in text.lower()
    scale = 25.4 if is_inch else 1.0
    tolerance = re.search(r"(?:\+/-|±|\+-)\s*(\d*[.,]?\d+)", text)
    numbers = [n * scale for n in row.given.figures(text.split("+")[0].split("±")[0] if tolerance else text)]
    if NEGATIVE.match(text) or not numbers or len(numbers) > 2 or not all(0.2 < number < 100 for number in numbers):
        raise refuse("od", f"{text!r} is no outside diameter that a cable has")
    if len(numbers) == 2 and re.search(r"\d\s*[x×*]\s*\d", text, re.I):
        row.cells["od_mm"], row.cells["height_mm"] = f"{max(numbers):.6g}", f"{min(numbers):.6g}"
        if stated is None:
            raise refuse("od", f"{text!r} is flat, and nothing says how many cores it has")
        return
    extra = row.given.figures(tolerance[1])[0] * scale if tolerance else 0.0
    row.cells["od_mm"] = f"{max(numbers) + extra:.6g}"


def _cores(row: Row) -> int | None:
    """How many cores a row says that the cable has: as a number, as "2 x" before the size, or in words."""
    cores, size = row.given.text("cores"), row.given.text("size")
    if cores.isdecimal():
        return int(cores)
    if counted := _COUNTED.match(f"{cores} {size}".strip()):
        return int(counted[1])
    named = _NAMED.search(row.given.text("title"))
    if named and int(named[1]) <= sizes.MOST_CORES and row.given.figures(named[2]) == row.given.figures(size):
        return int(named[1])
    return words.cores_in(row.words)


def _size(row: Row) -> tuple[float, tuple[float, ...]]:
    """The area of the metal of a core [mm2], and all areas that the row gives for it."""
    if "area_mm2" in row.cells:
        area_mm2 = float(row.cells["area_mm2"])
        _as_catalog(row)
        return area_mm2, (area_mm2,)
    texts = _size_texts(row)
    if not texts:
        text = row.given.text("size")
        raise refuse("size", f"{text!r} is no size of a cable" if text else "there is no size")
    od_mm, height_mm, cores = _across(row)
    holds_mm2 = math.pi / 4 * max(od_mm - 2 * THIN_MM, 0.01) * max(height_mm - 2 * THIN_MM, 0.01)
    winners = sizes.agree(texts, areas_by_ohm(row), holds_mm2, cores)
    if not winners:
        readings = tuple(str(size) for text in texts for size in text.sizes)
        raise refuse(texts[0].column, f"no size of the row fits into an outside diameter of {od_mm:g} mm", readings)
    agreed = _settled(row, texts, winners)
    _tell_size(row, agreed)
    _tell_thick(row, agreed.area_mm2)
    return agreed.area_mm2, tuple(size.area_mm2 for _, size in agreed.taken)


def _settled(row: Row, texts: list[sizes.Text], winners: tuple[sizes.Agreed, ...]) -> sizes.Agreed:
    """The one size of a row; a row that says "auto" has no other than its outside-diameter name, or one that more
    than a resistance speaks for: a figure per 1000 ft taken for one per km makes 0.85 mm2 look like 3 mm2.
    """
    is_auto = bool(_AUTO.search(" ".join(map(row.given.text, ("size", "title", "code")))))
    if len(winners) > 1 and is_auto:
        winners = tuple(agreed for agreed in winners if agreed.has_outside_name) or winners
    only = winners[0]
    is_doubtful = only.is_open and (not supported(row, only.area_mm2) or (is_auto and not only.has_outside_name))
    if len(winners) == 1 and not is_doubtful:
        return only
    readings = tuple(dict.fromkeys(str(size) for text in texts for size in text.sizes))
    said = ", ".join(repr(text.text) for text in texts)
    says = f"{said} can be more than one size, and nothing else in the row decides it"
    if is_auto and all(text.is_vague and not any(size.rank for size in text.sizes) for text in texts):
        says = f"{said} is an outside diameter, and what metal such a cable has is not known here"
    raise refuse(texts[0].column, says, readings)


def _across(row: Row) -> tuple[float, float, int]:
    """Width and height [mm], and the number of cores as far as it is known."""
    od_mm = float(row.cells["od_mm"])
    return od_mm, float(row.cells.get("height_mm", od_mm)), int(row.cells.get("core_count", "1"))


def _tell_thick(row: Row, area_mm2: float) -> None:
    """Mark an outside that is out of all proportion to the metal: a decimal mark that got lost, or another unit."""
    od_mm, height_mm, cores = _across(row)
    ratio = math.sqrt(od_mm * height_mm) / math.sqrt(4 / math.pi * area_mm2 * cores)
    if ratio > MOST_THICK:
        readings = (f"{od_mm:g} mm", f"{od_mm / 10:g} mm, if its decimal mark was lost")
        row.mark("od", f"{od_mm:g} mm is {ratio:.0f} times as thick as the metal", readings)


def _size_texts(row: Row) -> list[sizes.Text]:
    found: list[sizes.Text] = []
    if _SWG.search(" ".join(map(row.given.text, ("size", "gauge", "title")))):
        raise refuse("size", "SWG is another gauge than AWG, and is not read here; write mm2 or the strands")
    for column in ("size", "gauge", "strands", "title"):
        text, header = row.given.text(column), row.given.header(column)
        if column == "gauge":
            found += (replace(size, column=column) for size in sizes.sizes_in("size", text, f"awg {header}"))
        elif text:
            found += sizes.sizes_in(column, text, header)
        if column == "strands" and text.isdecimal():
            row.cells["strands"] = text
    seen: dict[tuple[float, ...], sizes.Text] = {}
    for text_ in found:
        seen.setdefault(tuple(sorted(round(size.area_mm2, 3) for size in text_.sizes)), text_)
    return list(seen.values())


def _as_catalog(row: Row) -> None:
    """Columns of our own catalogs that suppliers head alike."""
    for name, known in (("gauge", GAUGE_NAMES), ("material", MATERIALS)):
        if (text := row.given.text(name)) in known:
            row.cells[name] = text
    if row.given.text("strands").isdecimal():
        row.cells["strands"] = row.given.text("strands")


def _tell_size(row: Row, agreed: sizes.Agreed) -> None:
    """The cells of an agreed size, and a mark for what is not as it is printed."""
    row.cells["area_mm2"] = f"{agreed.area_mm2:.6g}"
    for text, size in agreed.taken:
        if size.strands:
            row.cells["strands"] = str(size.strands)
        if size.gauge is not None and 0.85 <= agreed.area_mm2 / size.area_mm2 <= 1.25:
            row.cells["gauge"] = f"{1 - size.gauge}/0" if size.gauge < 1 else str(size.gauge)
        if size.cores:
            row.cells["core_count"] = str(size.cores)
        is_gauge_with_point = size.strands and "AWG" in size.taken_for and re.search(r"[.,]", text.text)
        if size.rank == 3 or is_gauge_with_point:
            row.mark(text.column, f"{text.text!r} is not what it seems", tuple(map(str, text.sizes)), str(size))
        elif agreed.is_open:
            says = f"{text.text!r} was told by the resistance alone"
            row.mark(text.column, says, tuple(map(str, text.sizes)), str(size))
    _tell_gauges(row, agreed)
    _tell_pair(row, agreed)
    likely = str(agreed.taken[0][1])
    for text in agreed.against:
        row.mark(text.column, f"{text.text!r} contradicts the rest of the row", tuple(map(str, text.sizes)), likely)


def _tell_gauges(row: Row, agreed: sizes.Agreed) -> None:
    """Two gauges in one row are a misprint, even where the metal lies between them: none goes into the catalog."""
    named = {size.gauge: (text, size) for text, size in agreed.taken if size.gauge is not None}
    if len(named) > 1:
        row.cells.pop("gauge", None)
        readings = tuple(str(size) for _, size in named.values())
        column = next(text.column for text, _ in named.values())
        likely = f"{agreed.area_mm2:.3g} mm2, as the rest of the row says"
        row.mark(column, "the row names two gauges", readings, likely)


def _tell_pair(row: Row, agreed: sizes.Agreed) -> None:
    """An area in mm2 beside strands or a gauge of another: lists pair them wrongly. The smallest one was taken."""
    named = [size for _, size in agreed.taken]
    if any(size.rank == 0 for size in named) and not all(sizes.near(size.area_mm2, agreed.area_mm2) for size in named):
        readings = tuple(dict.fromkeys(map(str, named)))
        likely = f"{agreed.area_mm2:.4g} mm2, the smallest"
        row.mark(agreed.taken[0][0].column, "the row names sizes that are not the same", readings, likely)


INTAKE = Intake(MEANINGS, read)
