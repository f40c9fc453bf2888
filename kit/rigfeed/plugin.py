"""What a plugin may import from the kit, and nothing else. `PLUGIN_API` grows when a name here changes its meaning."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from rigfeed.checks.check import Check, Fact, Finding, NotChecked, verbatim
from rigfeed.design.edit import Add, Remove, Rename, Set
from rigfeed.errors import OutOfRange, UnknownName
from rigfeed.fields import OneOf, PartField, QuantityField, RefField, Series, TableSchema, Text, YesNo
from rigfeed.formula import FloatArray, Floats, Value, above_zero, not_negative, refuse_unless, within
from rigfeed.frozen import frozen
from rigfeed.hooks import hookimpl
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.network.elements import BODY, LEAST_OHM, Converter, Diode, Element, Resistor, Sink, Source, Switch
from rigfeed.papers.paper import Drawing, Paper, Plot, Wanted
from rigfeed.parts.catalog import Resource
from rigfeed.parts.interfaces import (
    Accessory,
    Ampacity,
    Condition,
    ConductorType,
    ConverterDevice,
    Core,
    Device,
    EndFitting,
    FeederType,
    Joint,
    LoadDevice,
    MakerPoint,
    ProtectiveDevice,
    SourceDevice,
    Surroundings,
    Terminal,
)
from rigfeed.parts.part import (
    Default,
    Money,
    MoneyField,
    Number,
    Part,
    PartKind,
    PointsField,
    Provenance,
    Rigid,
    RigidField,
    RowSchema,
    StandIn,
)
from rigfeed.parts.studs import Studded, StudRowSchema, StudSettings, StudSettingsSchema
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.quantity import Quantity
from rigfeed.studies.operating import OPERATING
from rigfeed.view import Study, View

if TYPE_CHECKING:
    from rigfeed.calculators import Calculator, Choice, In, Out, calculator
    from rigfeed.drawing.scene import Circle, Group, Lettering, Line, Scene, Symbol
    from rigfeed.figures.figure import About, Axis, Band, Curve, Dots, Figure, Mark
    from rigfeed.intake.declare import Given, Intake, Meaning, Note, Reading
    from rigfeed.papers.table import Column, Table
    from rigfeed.plugin_check import check_plugin

PLUGIN_API = 1
LATE = {  # module -> what is loaded from it when somebody asks: no check needs it
    "rigfeed.calculators": ("Calculator", "Choice", "In", "Out", "calculator"),
    "rigfeed.drawing.scene": ("Circle", "Group", "Lettering", "Line", "Scene", "Symbol"),
    "rigfeed.figures.figure": ("About", "Axis", "Band", "Curve", "Dots", "Figure", "Mark"),
    "rigfeed.intake.declare": ("Given", "Intake", "Meaning", "Note", "Reading"),
    "rigfeed.papers.table": ("Column", "Table"),
    "rigfeed.plugin_check": ("check_plugin",),
}

__all__ = [
    "BODY",
    "LEAST_OHM",
    "OPERATING",
    "PLUGIN_API",
    "About",
    "Accessory",
    "Add",
    "Ampacity",
    "Axis",
    "Band",
    "Calculator",
    "Check",
    "Choice",
    "Circle",
    "Column",
    "Condition",
    "ConductorType",
    "Converter",
    "ConverterDevice",
    "Core",
    "Curve",
    "Default",
    "Device",
    "Diode",
    "Dots",
    "Drawing",
    "Element",
    "EndFitting",
    "Fact",
    "FeederType",
    "Figure",
    "Finding",
    "FloatArray",
    "Floats",
    "Given",
    "Group",
    "In",
    "Intake",
    "Joint",
    "Keyed",
    "Lettering",
    "Line",
    "LoadDevice",
    "MakerPoint",
    "Mark",
    "Meaning",
    "Measure",
    "Money",
    "MoneyField",
    "NotChecked",
    "Note",
    "Number",
    "OneOf",
    "Out",
    "OutOfRange",
    "Paper",
    "Part",
    "PartField",
    "PartKind",
    "Path",
    "Plot",
    "PointsField",
    "ProtectiveDevice",
    "Provenance",
    "Quantity",
    "QuantityField",
    "Reading",
    "RefField",
    "Remove",
    "Rename",
    "Resistor",
    "Resource",
    "Rigid",
    "RigidField",
    "RowSchema",
    "Scene",
    "Series",
    "Set",
    "Sink",
    "Source",
    "SourceDevice",
    "StandIn",
    "StudRowSchema",
    "StudSettings",
    "StudSettingsSchema",
    "Studded",
    "Study",
    "Surroundings",
    "Switch",
    "Symbol",
    "Table",
    "TableSchema",
    "Terminal",
    "Text",
    "Threshold",
    "UnknownName",
    "Value",
    "View",
    "Wanted",
    "YesNo",
    "above_zero",
    "calculator",
    "check_plugin",
    "frozen",
    "hookimpl",
    "not_negative",
    "refuse_unless",
    "verbatim",
    "within",
]


def __getattr__(name: str) -> Any:
    for module, names in LATE.items():
        if name in names:
            return getattr(import_module(module), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
