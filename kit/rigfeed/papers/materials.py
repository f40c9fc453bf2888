"""The bill of materials: what to buy, how much of it, and what is known of its price."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import fields, is_dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING, Any

from rigfeed.checks.offers import number
from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidPassage
from rigfeed.papers.cutlist import whole_length_m
from rigfeed.papers.pieces import pieces
from rigfeed.papers.places import by_id, natural, vehicles_own
from rigfeed.papers.table import Cell, Column, Table
from rigfeed.parts.interfaces import ConductorType, EndFitting
from rigfeed.parts.part import Money, Part, Provenance
from rigfeed.practice import Threshold
from rigfeed.quantity import System, show

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

PER = {"metric": ("m", Decimal(1)), "us": ("ft", Decimal("0.3048"))}  # the foot: NIST SP 811, exact
CENT = Decimal("0.01")
SLEEVE_MM = Threshold("sleeve.length", "mm", "length of a sleeve over the barrel and the insulation behind it")


@frozen
class Need:
    """A part and how much of it: metres of cables and conduits, pieces of all else.

    `part` is None for what no catalog has, a grommet; `what` describes that.
    """

    sort: str
    part: Part | None
    length_m: float | None = None
    pieces: int | None = None
    what: str = ""

    @property
    def key(self) -> str:
        """What makes it one thing to buy."""
        return self.part.key if self.part else self.what

    @property
    def price(self) -> Money | None:
        """The price of a metre or a piece of it, None where that is not known."""
        return self.part.price if self.part else None

    def total(self) -> Decimal | None:
        """The price of all of it, in the currency of its part; None where the part has none."""
        if self.price is None:
            return None
        amount = Decimal(self.pieces or 0) if self.length_m is None else Decimal(f"{self.length_m:.6f}")
        return (self.price.amount * amount).quantize(CENT, ROUND_HALF_UP)


def bill_of_materials(assessment: Assessment, system: System) -> Table:
    """A row for each part: cables by the metres that are cut, what goes on their ends and around them, devices with
    their accessories."""
    return bill(needs(assessment.installation, system), left_out(assessment), system)


def bill(found: Sequence[Need], notes: Iterable[str], system: System) -> Table:
    """The bill of whatever is needed, with the totals before the notes."""
    per, factor = PER[system]
    columns = (
        Column("sort", "sort", width=10),
        Column("part", "part", width=22),
        Column("title", "title", width=28),
        Column("length", "length", "m", width=8, align="right", decimals=2),
        Column("pieces", "pieces", width=8, align="right"),
        Column("price", f"price of one, lengths per {per}", width=10, align="right", decimals=2),
        Column("sum", "sum", width=9, align="right", decimals=2),
        Column("currency", "currency", width=9),
        Column("trust", "figures from", width=24),
    )
    return Table(
        "bill-of-materials", "Bill of materials", columns, tuple(_row(need, factor) for need in found),
        (*_totals(found), *notes), group="sort", use="what to buy, with prices as far as they are known",
    )


def _row(need: Need, factor: Decimal) -> tuple[Cell, ...]:
    price, total, origin = need.price, need.total(), need.part.provenance if need.part else Provenance()
    each = None if price is None else float(price.amount * (Decimal(1) if need.length_m is None else factor))
    trust = ", ".join(word for word in (origin.catalog, origin.confidence) if word)
    return (
        need.sort, need.part.short_key if need.part else None, need.part.title if need.part else need.what,
        need.length_m, need.pieces, each, None if total is None else float(total), price.currency if price else None,
        trust or None,
    )


def needs(installation: Installation, system: System = "metric") -> tuple[Need, ...]:
    """Everything to buy, each part once, cables first; nothing of what the vehicle, or a supplied lead, came with."""
    lengths: dict[str, list[float]] = {}
    parts: dict[str, Part] = {}
    for conductor in by_id(installation.conductors):
        if conductor.origin == "cut":
            cable: ConductorType = conductor.cable
            parts[cable.key] = cable
            lengths.setdefault(cable.key, []).append(whole_length_m(conductor.cut_length_m, system))
    cables = [Need("cable", parts[key], length_m=math.fsum(lengths[key])) for key in sorted(lengths, key=natural)]
    return (
        *cables, *_fittings(installation), *_sleeves(installation), *_conduits(installation, system),
        *_grommets(installation, system), *_devices(installation),
    )


class _Pieces:
    """Parts counted by key: two of one key are the same thing to buy."""

    def __init__(self, sort: str) -> None:
        self.sort, self.counts, self.parts = sort, Counter[str](), dict[str, Part]()

    def add(self, part: Part, count: int = 1) -> None:
        self.parts.setdefault(part.key, part)
        self.counts[part.key] += count

    def needs(self) -> list[Need]:
        return [Need(self.sort, self.parts[key], pieces=self.counts[key]) for key in sorted(self.parts, key=natural)]


def _fittings(installation: Installation) -> list[Need]:
    """One for each end; a barrel that takes several conductors of one terminal is one."""
    shared: dict[tuple[str, str], list[EndFitting]] = {}
    for piece in pieces(installation):
        if piece.fitting is not None and piece.conductor.origin == "cut":
            shared.setdefault((piece.fitting.key, piece.terminals), []).append(piece.fitting)
    found = _Pieces("end fitting")
    for fittings in shared.values():
        found.add(fittings[0], math.ceil(len(fittings) / (number(fittings[0], "places") or 1)))
    return found.needs()


def _sleeves(installation: Installation) -> list[Need]:
    """One for each end that gets one; those of supplied leads are put on here all the same."""
    found = _Pieces("sleeve")
    for piece in pieces(installation):
        if piece.sleeve is not None:
            found.add(piece.sleeve)
    return found.needs()


def _conduits(installation: Installation, system: System) -> list[Need]:
    """By the metre of the runs that something of ours lies on."""
    lengths: dict[str, list[float]] = {}
    parts: dict[str, Part] = {}
    for run, loom in used_looms(installation):
        length = installation.design.runs[run].length
        if length is not None:
            parts[loom.key] = loom
            lengths.setdefault(loom.key, []).append(whole_length_m(length.si, system))
    return [Need("conduit", parts[key], length_m=math.fsum(lengths[key])) for key in sorted(lengths, key=natural)]


def used_looms(installation: Installation) -> list[tuple[str, Part]]:
    ours = (conductor for conductor in installation.conductors.values() if conductor.origin != "vehicle")
    used = {stretch.run for conductor in ours for stretch in conductor.stretches}
    return [(run, loom) for run, loom in installation.looms.items() if run in used]


def _grommets(installation: Installation, system: System) -> list[Need]:
    """By edge, bore and hole, for the holes that something of ours passes."""
    counts = Counter[str]()
    for passage in _used_grommets(installation):
        if passage.bore_mm is not None:
            hole = f" for a hole of {show(passage.diameter_mm, 'mm', system)}" if passage.diameter_mm else ""
            counts[f"{passage.edge or 'grommet'}, bore {show(passage.bore_mm, 'mm', system)}{hole}"] += 1
    return [Need("grommet", None, pieces=counts[what], what=what) for what in sorted(counts, key=natural)]


def _used_grommets(installation: Installation) -> list[LaidPassage]:
    conductors = installation.conductors
    return [
        passage for passage in installation.passages.values()
        if (passage.edge in ("grommet", "gland") or passage.bore_mm is not None)
        and any(conductors[name].origin != "vehicle" for name in passage.conductors)
    ]


def _devices(installation: Installation) -> list[Need]:
    devices, accessories = _Pieces("device"), _Pieces("accessory")
    own = vehicles_own(installation)
    for node in installation.nodes.values():
        if node.id in own:
            continue
        if node.part is not None and ":" in node.part.key:  # a bolt or a joint is not bought by its key
            devices.add(node.part)
        for part in _parts_in(node.settings):
            accessories.add(part)
    return [*devices.needs(), *accessories.needs()]


def _parts_in(settings: Any) -> list[Part]:
    """The parts that the settings of a node name: a holder, a mount."""
    if not is_dataclass(settings):
        return []
    values = [getattr(settings, field.name) for field in fields(settings)]
    flat = [item for value in values for item in (value if isinstance(value, tuple) else (value,))]
    return [item for item in flat if isinstance(item, Part)]


def _totals(found: Sequence[Need]) -> list[str]:
    """One total for each currency, and how many parts have no price: amounts of two currencies are never added."""
    sums: dict[str, Decimal] = {}
    for need in found:
        total = need.total()
        if need.price is not None and total is not None:
            currency = need.price.currency
            sums[currency] = sums.get(currency, Decimal(0)) + total
    unknown = sum(need.price is None for need in found)
    notes = [f"Total {currency}: {amount}" for currency, amount in sorted(sums.items())]
    if unknown:
        what = "which no total contains" if sums else "so that there is no total"
        notes.append(f"Price not known of {unknown} of {len(found)} parts, {what}.")
    return notes


def left_out(assessment: Assessment) -> list[str]:
    """What the bill of an installation assumes, and what it does not contain, as notes."""
    installation = assessment.installation
    notes = [
        "Lengths are those of the cut list and of the runs, without waste. Ties and labels come on top, and sleeves, "
        "conduits and grommets where none is chosen.",
    ]
    if any(need.sort == "sleeve" for need in _sleeves(installation)):
        notes.append(_sleeve_note(assessment))
    if own := sorted(vehicles_own(installation), key=natural):
        notes.append(f"Counted as the vehicle's own, since its own conductors end there: {', '.join(own)}.")
    unfitted = sum(piece.fitting is None and piece.conductor.origin == "cut" for piece in pieces(installation))
    if unfitted:
        notes.append(f"Not chosen yet, and not counted: fittings of {unfitted} ends.")
    if boreless := sorted((p.id for p in _used_grommets(installation) if p.bore_mm is None), key=natural):
        notes.append(f"Not chosen yet, and not counted: the bore of the grommet of {', '.join(boreless)}.")
    unmeasured = [run for run, _ in used_looms(installation) if installation.design.runs[run].length is None]
    if unmeasured:
        notes.append(f"Not measured yet, and not counted: the conduit of run {', '.join(unmeasured)}.")
    return notes


def _sleeve_note(assessment: Assessment) -> str:
    """How long a sleeve is: catalogs sell most of them by the stick."""
    found = assessment.practice.default(SLEEVE_MM)
    if found is None:
        return "Sleeves are counted by the end; how long each has to be, the practice does not say."
    length_mm, setting = found
    return f"Sleeves are counted by the end; reckoned with {length_mm:g} mm for each ({setting.authority})."
