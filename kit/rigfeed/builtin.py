"""What the kit itself declares, by the same hooks as any plugin: joints, the body, the studies, checks and papers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from rigfeed.checks.antenna import CHECKS as ANTENNA
from rigfeed.checks.charging import CHECKS as CHARGING
from rigfeed.checks.check import Check
from rigfeed.checks.conductor import CHECKS as CONDUCTOR
from rigfeed.checks.facts import SUBJECTS
from rigfeed.checks.fault import CHECKS as FAULT
from rigfeed.checks.ground import CHECKS as GROUND
from rigfeed.checks.record import CHECKS as RECORD
from rigfeed.checks.routing import CHECKS as ROUTING
from rigfeed.checks.source import CHECKS as SOURCE
from rigfeed.checks.survey_power import CHECKS as POWER
from rigfeed.checks.termination import CHECKS as TERMINATION
from rigfeed.checks.whatif import CHECKS as WHAT_IF
from rigfeed.fields import QuantityField, TableSchema
from rigfeed.frozen import frozen
from rigfeed.hooks import hookimpl
from rigfeed.network.elements import BODY, LEAST_OHM, Element, Resistor
from rigfeed.papers.declared import DRAWINGS, FIGURES, PAPERS
from rigfeed.papers.paper import Drawing, Paper, Plot
from rigfeed.parts.catalog import Resource
from rigfeed.parts.interfaces import Condition, Device, Joint, MakerPoint, Terminal
from rigfeed.parts.part import Default, PartKind
from rigfeed.parts.studs import StudSettings, StudSettingsSchema
from rigfeed.practice import Threshold
from rigfeed.quantity import Quantity
from rigfeed.studies.ampacity import AMPACITY
from rigfeed.studies.bundles import BUNDLES
from rigfeed.studies.faults import FAULTS
from rigfeed.studies.feeds import FEEDS
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.prospective import BODY_POINT_OHM, HIGHEST, PROSPECTIVE
from rigfeed.studies.ratings import RATINGS
from rigfeed.studies.sections import SECTIONS
from rigfeed.studies.whatif import MISHAPS, WHATIF
from rigfeed.studies.whatif_outages import OUTAGES, TURNS
from rigfeed.view import Study
from rigfeed.wiring import WIRING

if TYPE_CHECKING:
    from rigfeed.calculators import Calculator

VEHICLE_CIRCUIT_OHM = Threshold("vehicle.circuit", "mohm", "resistance of the vehicle's own wiring to a take-off")


@frozen
class BodyPointSettings(StudSettings):
    """`resistance` from the bolt into the body, where it was measured; the bolt itself."""

    resistance: Quantity | None = None


class BodyPointSchema(StudSettingsSchema):
    builds = BodyPointSettings
    resistance = QuantityField("mohm", least=0, most=10_000, load_default=None)


@frozen(kw_only=True, eq=False)
class BodyPoint(Device):
    """A bolt on the metal of the vehicle, any number of ring terminals on it."""

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return (Terminal("stud"),)

    def elements(self, settings: BodyPointSettings, condition: Condition) -> Sequence[Element]:
        ohm = settings.resistance.si if settings.resistance else 0.0
        return (Resistor("", "stud", BODY, max(ohm, LEAST_OHM)),)


@frozen
class VehicleCircuitSettings:
    """`resistance` of the wiring from the battery to the take-off."""

    resistance: Quantity | None = None


class VehicleCircuitSchema(TableSchema):
    builds = VehicleCircuitSettings
    resistance = QuantityField("mohm", least=0, most=100_000, load_default=None)


@frozen(kw_only=True, eq=False)
class VehicleCircuit(MakerPoint):
    """A fuse box or a power point of the vehicle, fed by its own wiring."""

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return (Terminal("feed", "positive"), Terminal("out", "positive"))

    @property
    def through(self) -> tuple[tuple[str, str], ...]:
        return (("feed", "out"),)

    def elements(self, settings: VehicleCircuitSettings, condition: Condition) -> Sequence[Element]:
        ohm = settings.resistance.si if settings.resistance else 0.0
        return (Resistor("", "feed", "out", max(ohm, LEAST_OHM)),)


@hookimpl
def register_part_kinds() -> Iterable[PartKind]:
    yield PartKind("joint", "stud, busbar or splice", standard=Joint(title="joint"), settings=StudSettingsSchema)
    yield PartKind(
        "body-point", "bolt on the body", settings=BodyPointSchema, standard=BodyPoint(title="body point"),
        defaults=(Default("resistance", BODY_POINT_OHM),),
    )
    yield PartKind(
        "vehicle-circuit", "take-off from the vehicle's own wiring", settings=VehicleCircuitSchema,
        standard=VehicleCircuit(title="vehicle circuit"), defaults=(Default("resistance", VEHICLE_CIRCUIT_OHM),),
    )


@hookimpl
def register_practices() -> Iterable[Resource]:
    for name in ("common", "road", "amateur", "marine", "apparatus"):
        yield Resource("rigfeed_catalogs", f"practices/{name}.toml")


@hookimpl
def register_studies() -> Iterable[Study[Any]]:
    return (
        AMPACITY, BUNDLES, FAULTS, FEEDS, HIGHEST, MISHAPS, OPERATING, OUTAGES, PROSPECTIVE, RATINGS, SECTIONS,
        SUBJECTS, TURNS, WHATIF, WIRING,
    )


@hookimpl
def register_checks() -> Iterable[Check]:
    return (
        *CONDUCTOR, *SOURCE, *GROUND, *RECORD, *ROUTING, *TERMINATION, *FAULT, *ANTENNA, *CHARGING, *POWER, *WHAT_IF,
    )


@hookimpl
def register_calculators() -> Iterable[Calculator]:
    from rigfeed.trials.measured import CALCULATORS

    return CALCULATORS


@hookimpl
def register_papers() -> Iterable[Paper]:
    return PAPERS


@hookimpl
def register_drawings() -> Iterable[Drawing]:
    return DRAWINGS


@hookimpl
def register_figures() -> Iterable[Plot]:
    return FIGURES
