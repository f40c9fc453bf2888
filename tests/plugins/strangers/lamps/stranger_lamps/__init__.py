"""A stranger's plugin: beacons as a part kind, with a catalog, calculator, check, practice, paper and figure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, ClassVar

from rigfeed.plugin import (
    Axis,
    Calculator,
    Check,
    Column,
    Condition,
    Dots,
    Element,
    Figure,
    Finding,
    In,
    LoadDevice,
    Measure,
    NotChecked,
    Number,
    Out,
    Paper,
    PartKind,
    Path,
    Plot,
    Quantity,
    QuantityField,
    Resource,
    RowSchema,
    Sink,
    Table,
    TableSchema,
    Terminal,
    Threshold,
    View,
    calculator,
    hookimpl,
)


@dataclass(frozen=True)
class BeaconSettings:
    height: Quantity | None = None


class BeaconSettingsSchema(TableSchema):
    builds = BeaconSettings
    height = QuantityField("m", above=0, most=10, load_default=None)


@dataclass(frozen=True, kw_only=True)
class Beacon(LoadDevice):
    modes: ClassVar[tuple[str, ...]] = ("on", "off")
    default_mode: ClassVar[str] = "off"

    watts: float

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return (Terminal("pos", "positive"), Terminal("neg", "negative"))

    def elements(self, settings: BeaconSettings, condition: Condition) -> Sequence[Element]:
        return (Sink("", "pos", "neg", "power", self.watts),) if condition.mode == "on" else ()


class BeaconSchema(RowSchema):
    builds = Beacon
    watts = Number(above=0, most=1000, required=True)
    stated_fuse_a = Number(above=0, most=100, load_default=None)


@calculator(
    "lamps-count", "lamps", formula="n = I V / P", validity="equal lamps, steady light", source="definition of power"
)
def lamps_count(
    current: Annotated[float, In("A", 0, 100, "current that the circuit may carry")],
    watts: Annotated[float, In("W", 1, 1000, "power of one lamp")],
) -> Annotated[float, Out("", "lamps")]:
    """How many lamps a 12 V circuit feeds."""
    return current * 12 // watts


HEIGHT_M = Threshold("lamps.beacon-low.height", "m", "least height of a beacon above the road")


def beacon_low(view: View) -> Iterator[Finding | NotChecked]:
    least_m, setting = view.threshold(HEIGHT_M)
    for node in view.installation.nodes.values():
        if not isinstance(node.part, Beacon):
            continue
        subject = Path("nodes", node.id)
        if node.settings.height is None:
            yield NotChecked("lamps.beacon-low", "the height of the beacon is not given", subject)
        elif node.settings.height.si < least_m:
            yield Finding(
                subject=subject,
                value=Measure(node.settings.height.si, "m"),
                limit=Measure(least_m, "m"),
                authority=setting.authority,
                message="The beacon stands at {value}, below {limit}: a following driver sees the load, not the light.",
                remedy="Raise it to {limit}.",
            )


def beacons(assessment, system) -> Table:
    rows = tuple(
        (node.id, node.part.watts) for node in assessment.installation.nodes.values() if isinstance(node.part, Beacon)
    )
    return Table("lamps-beacons", "Beacons", (Column("id", "id"), Column("watts", "power", "W")), rows)


@hookimpl
def register_part_kinds() -> Iterable[PartKind]:
    return [PartKind("beacon", "beacon", row=BeaconSchema, settings=BeaconSettingsSchema)]


@hookimpl
def register_catalogs() -> Iterable[Resource]:
    return [Resource("stranger_lamps", "beacons.csv")]


@hookimpl
def register_practices() -> Iterable[Resource]:
    return [Resource("stranger_lamps", "practice.toml")]


@hookimpl
def register_calculators() -> Iterable[Calculator]:
    return [lamps_count]


@hookimpl
def register_checks() -> Iterable[Check]:
    return [Check("lamps.beacon-low", "lamps", "warning", beacon_low, thresholds=(HEIGHT_M,))]


@hookimpl
def register_papers() -> Iterable[Paper]:
    return [Paper("lamps-beacons", "Beacons", beacons)]


def heights(assessment, subject, system) -> Figure | None:
    found = [
        (node.settings.height.si, number)
        for number, node in enumerate(assessment.installation.nodes.values())
        if isinstance(node.part, Beacon) and node.settings.height is not None
    ]
    names = tuple(assessment.installation.nodes)
    return Figure(
        "lamps-heights", "Heights of beacons", Axis("above the road", "m", most=5.0), Axis("node", names=names),
        dots=(Dots("beacon", tuple(found)),),
    ) if found else None


@hookimpl
def register_figures() -> Iterable[Plot]:
    return [Plot("lamps-heights", "Heights of beacons", heights)]
