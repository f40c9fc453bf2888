"""Coaxial cables and their connectors as parts, as far as direct current and holes are concerned."""

from __future__ import annotations

from dataclasses import dataclass

from rigfeed.plugin import ConductorType, Core, EndFitting, Number, RigidField, RowSchema

COPPER_ALPHA_PER_K = 0.00393  # IEC 60028: annealed copper at 20 degC


@dataclass(frozen=True, kw_only=True)
class Feeder(ConductorType):
    """A coaxial cable: inner conductor and shield."""

    inner_mm2: float
    inner_ohm_per_km: float
    shield_mm2: float
    shield_ohm_per_km: float

    @property
    def cores(self) -> tuple[Core, ...]:
        """Inner conductor and shield."""
        return (
            Core("inner", self.inner_mm2, self.inner_ohm_per_km / 1000, COPPER_ALPHA_PER_K),
            Core("shield", self.shield_mm2, self.shield_ohm_per_km / 1000, COPPER_ALPHA_PER_K),
        )


class FeederSchema(RowSchema):
    """A row of a feeder catalog."""

    builds = Feeder
    od_mm = Number(above=0, most=100, required=True)
    insulation_c = Number(least=40, most=400, load_default=None)
    inner_mm2 = Number(above=0, most=1000, required=True)
    inner_ohm_per_km = Number(above=0, most=10_000, required=True)
    shield_mm2 = Number(above=0, most=1000, required=True)
    shield_ohm_per_km = Number(above=0, most=10_000, required=True)


@dataclass(frozen=True, kw_only=True)
class Connector(EndFitting):
    """A coaxial plug."""


class ConnectorSchema(RowSchema):
    """A row of a connector catalog."""

    builds = Connector
    contact_ohm = Number(least=0, most=1000, scale=1e-3, required=True, data_key="contact_mohm")
    rigid = RigidField(load_default=None, data_key="rigid_mm")
    strip_mm = Number(least=0, most=100, load_default=None)
