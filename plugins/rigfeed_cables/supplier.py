"""The reading of a row of a supplier's cable list: every figure held against the others and against copper."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field, replace

from rigfeed.plugin import Given, Intake, Meaning, Note, Reading
from rigfeed_cables import supplier_sizes as sizes
from rigfeed_cables import supplier_words as words
from rigfeed_cables.cable import MATERIALS
from rigfeed_cables.columns import GAUGE_NAMES
from rigfeed_cables.supplier_price import sold_and_price

FEET_PER_KM = 1 / 0.3048  # 1000 ft are so many of a km, turned over
COPPER_BAND = (0.0163, 0.0212)  # ohm mm2/m at 20 degC: pure to tinned, lay and tolerance of the area in it
CLAD_BAND = (0.0245, 0.0310)
HIGH = {  # what a resistance that is not given is taken as: the high end of lists of such cable
    "copper": 0.0195, "tinned copper": 0.0205, "copper-clad aluminium": 0.0310, "aluminium": 0.0310,
}
_INCH = re.compile(r"\"|\bin(?:ch(?:es)?)?\b")
_OHM_UNITS = (
    (FEET_PER_KM, r"ohms?\s*/\s*(?:1000\s*(?:ft|feet|')|kft|mft\b)|per 1000\s*(?:ft|feet)|/\s*1000\s*(?:ft|')|/\s*kft"),
    (FEET_PER_KM, r"m\s?(?:ohms?|ω)\s*/\s*(?:ft|foot)"), (10.0, r"/\s*100\s*m\b"),
    (1.0, r"m\s?(?:ohms?|ω)\s*(?:/|per|pro)\s*m"), (1.0, r"(?:/|per|pro)\s*km\b"),
    (1000.0, r"(?:ohms?|ω)\s*(?:/|per)\s*m\b"),
)

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
        "resistenza", "weerstand", "dc resistance", "conductor resistance", "mohm/m", "ω/km",
    )),
    Meaning("temp", (
        "temp", "temperature", "temp class", "temp rating", "temperatur", "temperaturbereich", "température",
        "temperatura", "°c", "temp range", "max temp", "rating c", "klasse", "temperature range", "temperature class",
    )),
    Meaning("material", ("material", "conductor material", "metal", "werkstoff", "leitermaterial", "matériau")),
    Meaning("insulation", (
        "insulation", "isolation", "isolierung", "sheath", "mantel", "jacket", "isolant", "insulation type",
    )),
    Meaning("colours", (
        "colour", "color", "colours", "colors", "farbe", "farben", "couleur", "colore", "kleur", "färg", "col",
    )),
    Meaning("cores", ("cores", "core", "no of cores", "adern", "aderzahl", "conducteurs", "no. of cores")),
)


class Refused(Exception):
    """A row that cannot be taken; its note says why."""

    def __init__(self, note: Note) -> None:
        super().__init__(str(note))
        self.note = note


@dataclass
class _Row:
    """A row on its way: what is given, the cells so far, what there is to say."""

    given: Given
    cells: dict[str, str]
    notes: list[Note] = field(default_factory=list)

    def mark(self, column: str, says: str, readings: tuple[str, ...] = (), likely: str = "") -> None:
        self.notes.append(Note("mark", column, says, readings, likely))

    def leave(self, column: str, says: str) -> None:
        self.notes.append(Note("left out", column, says))

    @property
    def words(self) -> str:
        """All that may name material, insulation and cores."""
        names = ("code", "title", "material", "strands", "insulation", "cores", "size")
        texts = map(self.given.text, names)
        return " ".join(re.sub(r"[_-]|(?<=[A-Za-z])(?=\d)", " ", text) for text in texts)


def read(given: Given, schema: Reading) -> Reading:
    """A row of a cable list as the catalog has it, or why not."""
    row = _Row(given, dict(schema.cells), list(schema.notes))
    try:
        _outside(row)
        area_mm2, areas_mm2 = _size(row)
        _resistance(row, area_mm2, areas_mm2)
        _surroundings(row)
        sold_and_price(given, row.cells, row.notes)
    except Refused as refused:
        row.notes.append(refused.note)
    return Reading(row.cells, tuple(row.notes))


def _refuse(column: str, says: str, readings: tuple[str, ...] = (), likely: str = "") -> Refused:
    return Refused(Note("refused", column, says, readings, likely))


def _outside(row: _Row) -> None:
    """Outside diameter and height [mm], and the number of cores; of a range or a tolerance the largest counts."""
    cores_text = row.given.text("cores")
    counted = re.match(r"(\d{1,2})\s*[x×*g]\s*\d", f"{cores_text} {row.given.text('size')}".strip(), re.I)
    stated = int(cores_text) if cores_text.isdecimal() else int(counted[1]) if counted else words.cores_in(row.words)
    if stated and "core_count" not in row.cells and stated > 1:
        row.cells["core_count"] = str(stated)
    text = row.given.text("od")
    if not text:
        if "od_mm" not in row.cells:
            raise _refuse("od", "no outside diameter: holes, grommets and sleeves need it")
        return
    is_inch = bool(_INCH.search(f"{text} {row.given.header('od')}")) and "mm" not in text.lower()
    scale = 25.4 if is_inch else 1.0
    tolerance = re.search(r"(?:\+/-|±|\+-)\s*(\d*[.,]?\d+)", text)
    numbers = [n * scale for n in row.given.figures(text.split("+")[0].split("±")[0] if tolerance else text)]
    if not numbers or len(numbers) > 2 or not all(0.2 < number < 100 for number in numbers):
        raise _refuse("od", f"{text!r} is no outside diameter that a cable has")
    if len(numbers) == 2 and re.search(r"\d\s*[x×*]\s*\d", text, re.I):
        row.cells["od_mm"], row.cells["height_mm"] = f"{max(numbers):.6g}", f"{min(numbers):.6g}"
        if stated is None:
            raise _refuse("od", f"{text!r} is flat, and nothing says how many cores it has")
        return
    extra = row.given.figures(tolerance[1])[0] * scale if tolerance else 0.0
    row.cells["od_mm"] = f"{max(numbers) + extra:.6g}"


def _size(row: _Row) -> tuple[float, tuple[float, ...]]:
    """The area of the metal of a core [mm2], and all areas that the row gives for it."""
    if "area_mm2" in row.cells:
        area_mm2 = float(row.cells["area_mm2"])
        _as_catalog(row)
        return area_mm2, (area_mm2,)
    texts = _size_texts(row)
    if not texts:
        text = row.given.text("size")
        raise _refuse("size", f"{text!r} is no size of a cable" if text else "there is no size")
    od_mm, height_mm = float(row.cells["od_mm"]), float(row.cells.get("height_mm", row.cells["od_mm"]))
    winners = sizes.agree(texts, _areas_by_ohm(row), math.pi / 4 * od_mm * height_mm)
    if not winners:
        readings = tuple(str(size) for text in texts for size in text.sizes)
        raise _refuse(texts[0].column, f"no size of the row fits into an outside diameter of {od_mm:g} mm", readings)
    if len(winners) > 1 or (winners[0].is_open and not _supported(row, winners[0].area_mm2)):
        readings = tuple(dict.fromkeys(str(size) for text in texts for size in text.sizes))
        said = ", ".join(repr(text.text) for text in texts)
        says = f"{said} can be more than one size, and nothing else in the row decides it"
        raise _refuse(texts[0].column, says, readings)
    _tell_size(row, winners[0])
    return winners[0].area_mm2, tuple(size.area_mm2 for _, size in winners[0].taken)


def _size_texts(row: _Row) -> list[sizes.Text]:
    found: list[sizes.Text] = []
    if re.search(r"\bswg\b", " ".join(map(row.given.text, ("size", "gauge", "title"))), re.I):
        raise _refuse("size", "SWG is another gauge than AWG, and is not read here; write mm2 or the strands")
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


def _as_catalog(row: _Row) -> None:
    """Columns of our own catalogs that suppliers head alike."""
    for name, known in (("gauge", GAUGE_NAMES), ("material", MATERIALS)):
        if (text := row.given.text(name)) in known:
            row.cells[name] = text
    if row.given.text("strands").isdecimal():
        row.cells["strands"] = row.given.text("strands")


def _tell_size(row: _Row, agreed: sizes.Agreed) -> None:
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
    likely = str(agreed.taken[0][1])
    for text in agreed.against:
        row.mark(text.column, f"{text.text!r} contradicts the rest of the row", tuple(map(str, text.sizes)), likely)


def _tell_gauges(row: _Row, agreed: sizes.Agreed) -> None:
    """Two gauges in one row are a misprint, even where the metal lies between them: none goes into the catalog."""
    named = {size.gauge: (text, size) for text, size in agreed.taken if size.gauge is not None}
    if len(named) > 1:
        row.cells.pop("gauge", None)
        readings = tuple(str(size) for _, size in named.values())
        column = next(text.column for text, _ in named.values())
        likely = f"{agreed.area_mm2:.3g} mm2, as the rest of the row says"
        row.mark(column, "the row names two gauges", readings, likely)


def _ohms_per_km(row: _Row) -> tuple[list[tuple[str, float]], bool]:
    """The readings of the resistance at 20 degC as (unit, ohm per km), and whether the list names the unit."""
    text, header = row.given.text("ohm"), row.given.header("ohm")
    if "ohm_per_km" in row.cells:
        return [("ohm/km", float(row.cells["ohm_per_km"]))], True
    if not text:
        return [], True
    bare = re.sub(r"@.*|/\s*1000\s*\S+|/\s*100\s*m\b|per 1000\s*\S+|\bmax\b|[<≤]", "", text, flags=re.I)
    numbers = row.given.figures(bare)
    if len(numbers) != 1 or not numbers[0]:
        raise _refuse("ohm", f"{text!r} is not one resistance")
    warm = re.search(r"(?:@|\bat|bei|à)\s*(\d{1,2})\s*°?\s*c", f"{text} {header}", re.I)
    cold = numbers[0] / (1 + 0.00393 * (float(warm[1]) - 20)) if warm else numbers[0]
    for told in (text, header):
        for factor, pattern in _OHM_UNITS:
            if match := re.search(pattern, told, re.I):
                return [(match[0], cold * factor)], True
    return [("ohm/km", cold), ("ohm/1000 ft", cold * FEET_PER_KM), ("ohm/m", 1000 * cold)], False


def _areas_by_ohm(row: _Row) -> list[float]:
    ohms, _ = _ohms_per_km(row)
    return [1000 * rho / ohm for _, ohm in ohms for rho in (0.0184, 0.0275)]


def _supported(row: _Row, area_mm2: float) -> bool:
    return any(sizes.same(area, area_mm2) for area in _areas_by_ohm(row))


def _within(band: tuple[float, float], ohm: float, areas_mm2: tuple[float, ...]) -> bool:
    return any(band[0] <= ohm * area / 1000 <= band[1] for area in areas_mm2)


def _resistance(row: _Row, area_mm2: float, areas_mm2: tuple[float, ...]) -> None:
    """Resistance and metal: what the resistance shows goes before what the list claims."""
    claim = row.cells.get("material") or words.material_in(row.words)
    ohms, is_named = _ohms_per_km(row)
    if not ohms:
        _derived(row, area_mm2, claim)
        return
    copper = [(unit, ohm) for unit, ohm in ohms if _within(COPPER_BAND, ohm, areas_mm2)]
    clad = [(unit, ohm) for unit, ohm in ohms if _within(CLAD_BAND, ohm, areas_mm2)]
    if not copper and not clad:
        raise _no_metal(row, ohms[0], area_mm2)
    if len(copper) + len(clad) > 1:
        readings = tuple(f"{ohm:.3g} ohm/km" for _, ohm in copper + clad)
        raise _refuse("ohm", f"{row.given.text('ohm')!r} has no unit and fits more than one metal", readings)
    unit, ohm = (copper or clad)[0]
    if not is_named:
        row.mark("ohm", f"{row.given.text('ohm')!r} has no unit", likely=f"{unit}, which fits the size")
    row.cells.setdefault("ohm_per_km", f"{ohm:.6g}")
    _metal(row, claim, bool(copper), 1000 * ohm * area_mm2 / 1e6)


def _metal(row: _Row, claim: str, is_copper: bool, rho: float) -> None:
    is_light = claim in ("copper-clad aluminium", "aluminium")
    row.cells["material"] = claim or "copper"
    if not is_copper and not is_light:
        row.cells["material"] = "copper-clad aluminium"
        said = f"the list says {claim}" if claim else "the list names no metal"
        row.mark("ohm", f"{rho:.4f} ohm mm2/m is no copper; {said}", likely="copper-clad aluminium")
    elif is_copper and is_light:
        row.mark("material", f"the list says {claim}, its resistance is that of copper", ("copper", claim), claim)
    elif is_light and words.COPPER.search(re.sub(words.CLAD, "", row.words)):
        row.mark("material", "the row names copper too", ("copper", claim), claim)


def _no_metal(row: _Row, stated: tuple[str, float], area_mm2: float) -> Refused:
    _, ohm = stated
    others = {"ohm/1000 ft": FEET_PER_KM, "ohm/km": 1 / FEET_PER_KM, "10 times less": 0.1, "10 times more": 10.0}
    readings = tuple(
        f"{row.given.text('ohm')!r} as {name}"
        for name, factor in others.items() if _within(COPPER_BAND, ohm * factor, (area_mm2,))
    )
    rho = ohm * area_mm2 / 1000
    says = f"{ohm:.3g} ohm/km of {area_mm2:.3g} mm2 is {rho:.4f} ohm mm2/m: neither copper nor clad aluminium"
    return _refuse("ohm", says, readings)


def _derived(row: _Row, area_mm2: float, claim: str) -> None:
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


def _surroundings(row: _Row) -> None:
    """Temperature class, insulation, colours, and the amps where they name the air that they are for."""
    if "insulation_c" not in row.cells and (text := row.given.text("temp")):
        celsius, chosen = words.celsius_in(text, row.given.header("temp"))
        if celsius is None or not 40 <= celsius <= 400:
            row.leave("temp", f"{text!r} is no temperature class")
        else:
            row.cells["insulation_c"] = f"{celsius:g}"
            if chosen:
                row.mark("temp", chosen)
    if name := words.insulation_in(f"{row.given.text('insulation')} {row.words}"):
        row.cells["insulation"] = name
    _amps(row)
    if text := row.given.text("colours"):
        codes, strange = words.colours_in(text)
        if codes:
            row.cells["colours"] = codes
        if strange:
            row.leave("colours", f"{' '.join(strange)!r} is no colour")


def _amps(row: _Row) -> None:
    text, header = row.given.text("amps"), row.given.header("amps")
    if not text:
        return
    air = re.search(r"(?:@|\bat|bei|in air of|\bà)\s*(-?\d{1,3})\s*°?\s*c", f"{text} {header}", re.I)
    numbers = row.given.figures(re.sub(r"(?:@|\bat\b|bei).*", "", text))
    if not air:
        row.leave("amps", f"{text!r} names no air temperature: not taken as a rating")
    elif len(numbers) != 1:
        row.leave("amps", f"{text!r} is not one figure: not taken as a rating")
    elif float(air[1]) == 30:
        row.cells["amps_30c"] = f"{numbers[0]:g}"
    elif float(air[1]) < float(row.cells.get("insulation_c", "1000")):
        row.cells |= {"stated_a": f"{numbers[0]:g}", "stated_air_c": f"{float(air[1]):g}"}
    else:
        row.leave("amps", f"{text!r}: the air is as hot as the insulation may be")


INTAKE = Intake(MEANINGS, read)
