"""What a row of a cable list says of heat: temperature class, insulation, amps; and its colours."""

from __future__ import annotations

import re

from rigfeed_cables import supplier_words as words
from rigfeed_cables.supplier_row import Row


def surroundings(row: Row) -> None:
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


_AIR = re.compile(r"(?:@|\bat|bei|in air of|\bà)\s*(-?\d{1,3})\s*°?\s*c", re.I)
_SAYS_AIR = re.compile(r"\bair\b|ambient|umgebung|\bluft\b|ambiant|ambiente", re.I)
_SHORT = re.compile(r"peak|short|intermittent|burst|surge|crank|start|kurz|spitze|pointe|picco|\bmax\.? \d+ ?s\b", re.I)
_RISE = re.compile(r"\brise\b|[Δδ]|\bdelta|erwärmung|\bk\b", re.I)
_OTHER_UNIT = re.compile(r"(?<![^\W\d_])[mk]A\b", re.I)
MOST_AIR_C = 60.0  # what is warmer is the metal, unless the list says air; common practice, no source


def _amps(row: Row) -> None:
    """The amps, where they are for all time and name the air that they are for."""
    text, header = row.given.text("amps"), row.given.header("amps")
    if not text:
        return
    said = f"{text} {header}"
    air = _AIR.search(said)
    numbers = row.given.figures(re.sub(r"(?:@|\bat\b|bei).*", "", text))
    if _SHORT.search(said):
        row.leave("amps", f"{text!r} is for a short time: not taken as a rating")
    elif not air:
        row.leave("amps", f"{text!r} names no air temperature: not taken as a rating")
    elif _OTHER_UNIT.search(said):
        row.leave("amps", f"{text!r} is not in amps: not taken as a rating")
    elif _RISE.search(said):
        row.leave("amps", f"{text!r} names a rise, not the air: not taken as a rating")
    elif float(air[1]) > MOST_AIR_C and not _SAYS_AIR.search(said):
        row.leave("amps", f"{text!r} may name the temperature of the metal: not taken as a rating")
    elif len(numbers) != 1:
        row.leave("amps", f"{text!r} is not one figure: not taken as a rating")
    elif float(air[1]) == 30:
        row.cells["amps_30c"] = f"{numbers[0]:g}"
    elif float(air[1]) < float(row.cells.get("insulation_c", "1000")):
        row.cells |= {"stated_a": f"{numbers[0]:g}", "stated_air_c": f"{float(air[1]):g}"}
    else:
        row.leave("amps", f"{text!r}: the air is as hot as the insulation may be")
