"""The formulas of this plugin as calculators: inputs in the units that people use, ranges, validity and source."""

from __future__ import annotations

from typing import Annotated, Literal, NamedTuple

from rigfeed.plugin import Choice, In, Out, calculator
from rigfeed_batteries.capacity import (
    capacity_share,
    one_amp_capacity,
    peukert_time_h,
    peukert_time_one_amp_h,
    reserve_capacity_ah,
)
from rigfeed_batteries.charging import (
    alternator_continuous_a,
    converter_input_a,
    converter_input_w,
    equalising_current_a,
)
from rigfeed_batteries.endurance import (
    duty_capacity_ah,
    duty_current_a,
    endurance_h,
    stand_alone_capacity_ah,
    standing_time_h,
)
from rigfeed_batteries.rest import battery_rest_v
from rigfeed_batteries.short_circuit import (
    bank_prospective_current_a,
    prospective_current_a,
    starter_resistance_bound_ohm,
)

Chemistry = Annotated[Literal["flooded", "AGM", "gel", "LiFePO4"], Choice("what the battery is")]
Capacity = Annotated[float, In("Ah", 0.001, 100_000, "rated capacity")]
Exponent = Annotated[float, In("", 1.0, 2.0, "Peukert exponent: 1.1 to 1.3 lead-acid, 1.00 to 1.05 LiFePO4")]
Usable = Annotated[float, In("%", 1, 100, "share of the capacity that may be used")]
DOERFFEL = "D. Doerffel and S. Abu Sharkh, J. Power Sources 155 (2006) 395"
COLD = (
    "flooded: US Army TM 10-6140-200-14, 1-9; AGM, gel and LiFePO4: defaults of the battery model of NREL PySAM 7.1.1"
)


class RestVoltage(NamedTuple):
    cell: Annotated[float, Out("V", "voltage at rest of a cell")]
    battery: Annotated[float, Out("V", "voltage at rest of the battery")]


@calculator(
    "battery-emf", "batteries",
    formula="U = n u(charge); lead-acid: u = U+(lg m) - U-(lg m), m falling evenly with the charge",
    validity="25 degC, after hours of rest; lead-acid +-0.1 V on 12 V, since the strength of the acid is from memory",
    source="lead-acid: H. Bode, Lead-acid batteries, 1977; LiFePO4: M. Naumann, PhD thesis, TU Munich 2018",
)
def battery_emf(
    chemistry: Chemistry,
    charge: Annotated[float, In("%", 0, 100, "charge")],
    cells: Annotated[float | None, In("", 1, 400, "cells in series; a 12 V battery if left out")] = None,
) -> RestVoltage:
    """Voltage at rest of a battery from its charge.

    Read the other way it is a test of a lead-acid battery, but hardly of LiFePO4: from 20 to 95 % its voltage moves by
    0.1 V a cell.
    """
    count = cells if cells is not None else (4.0 if chemistry == "LiFePO4" else 6.0)
    volts = battery_rest_v(charge / 100, chemistry, count)
    return RestVoltage(volts / count, volts)


class PeukertTime(NamedTuple):
    time: Annotated[float, Out("h", "time until it is empty")]
    capacity: Annotated[float, Out("Ah", "capacity at that current")]
    one_amp: Annotated[float, Out("Ah", "the same battery's capacity at 1 A, for peukert-time-one-amp")]


@calculator(
    "peukert-time", "batteries", formula="t = H (C / (I H))^k",
    validity="one steady current, one temperature, currents within about ten times the rated one either way",
    source=DOERFFEL,
)
def peukert_time(
    current: Annotated[float, In("A", 0.001, 10_000, "steady current")],
    capacity: Capacity,
    exponent: Exponent,
    rated_time: Annotated[float, In("h", 0.1, 100, "time of discharge that the capacity is stated for")] = 20.0,
) -> PeukertTime:
    """Time that a battery feeds a steady current, from the capacity that is printed on it.

    That capacity belongs to a time of discharge, mostly 20 hours. If you have the capacity at 1 A instead, take
    peukert-time-one-amp: the two capacities are different numbers and must not be mixed.
    """
    time_h = peukert_time_h(current, capacity, rated_time, exponent)
    return PeukertTime(time_h, time_h * current, one_amp_capacity(capacity, rated_time, exponent))


@calculator(
    "peukert-time-one-amp", "batteries", formula="t = Cp / I^k",
    validity="as peukert-time; Cp is the capacity at 1 A, not the one printed on the battery", source=DOERFFEL,
)
def peukert_time_one_amp(
    current: Annotated[float, In("A", 0.001, 10_000, "steady current")],
    one_amp_capacity: Annotated[float, In("Ah", 0.001, 1_000_000, "Peukert capacity: that at 1 A")],
    exponent: Exponent,
) -> Annotated[float, Out("h", "time until it is empty")]:
    """Time that a battery feeds a steady current, from its capacity at one ampere.

    If you have the capacity over 20 hours, as printed on a battery, take peukert-time: put in here, it would give too
    short a time.
    """
    return peukert_time_one_amp_h(current, one_amp_capacity, exponent)


@calculator(
    "reserve-capacity", "batteries", formula="C = RC x 25 A / 60", validity="at 25 A, 27 degC, new and full",
    source="SAE J537, definition of the reserve capacity",
)
def reserve_capacity(
    reserve: Annotated[float, In("min", 1, 2000, "reserve minutes on the label")],
) -> Annotated[float, Out("Ah", "capacity at 25 A")]:
    """Capacity at 25 A from the reserve minutes of a starter battery; that over 20 hours is larger."""
    return reserve_capacity_ah(reserve)


class ColdCapacity(NamedTuple):
    share: Annotated[float, Out("%", "share of the rated capacity")]
    left: Annotated[float, Out("Ah", "capacity at that temperature")]


@calculator(
    "capacity-at-temperature", "batteries", formula="C(T) = f(T) C, f from a table, straight between its points",
    validity="the battery's own temperature: flooded -17.8..25, AGM and gel -27.7..48, LiFePO4 -20..60 degC",
    source=COLD,
)
def capacity_at_temperature(
    chemistry: Chemistry, capacity: Capacity,
    temperature: Annotated[float, In("degC", -28, 60, "temperature of the battery itself")],
) -> ColdCapacity:
    """What a cold or warm battery gives.

    LiFePO4 still gives in the frost, but must not be charged below 0 degC.
    """
    share = capacity_share(temperature, chemistry)
    return ColdCapacity(100 * share, share * capacity)


class ChargerInput(NamedTuple):
    power: Annotated[float, Out("W", "power at its input")]
    current: Annotated[float, Out("A", "current at its input")]
    volts: Annotated[float, Out("V", "voltage at its input")]


@calculator(
    "charger-input-current", "batteries", formula="P = Uo Io / eta + P0; I = 2 P / (U + sqrt(U^2 - 4 R P))",
    validity="steady; above U^2 / 4R the leads deliver that power at no voltage", source="balance of power",
)
def charger_input_current(
    out_volts: Annotated[float, In("V", 0, 100, "voltage at the output")],
    out_current: Annotated[float, In("A", 0, 1000, "current at the output")],
    efficiency: Annotated[float, In("%", 1, 100, "efficiency")],
    supply: Annotated[float, In("V", 0.1, 1000, "voltage where the leads begin")],
    *,
    leads: Annotated[float, In("mohm", 0, 100_000, "both leads with fuse and joints")] = 0.0,
    standby: Annotated[float, In("W", 0, 1000, "what it takes without load")] = 0.0,
) -> ChargerInput:
    """What a charger or a converter takes, and what voltage its leads leave it.

    Compare that voltage with its lock-out: below it, the charger stops, the voltage recovers, and it starts again. Use
    the lowest voltage of a variable alternator.
    """
    power_w = converter_input_w(out_volts, out_current, efficiency / 100, standby)
    current_a = converter_input_a(power_w, supply, leads / 1000)
    return ChargerInput(power_w, current_a, supply - current_a * leads / 1000)


class Endurance(NamedTuple):
    current: Annotated[float, Out("A", "mean current")]
    time: Annotated[float, Out("h", "time until what may be used is gone")]


Transmit = Annotated[float, In("A", 0, 1000, "mean current while transmitting; of speech less than the peak")]
Receive = Annotated[float, In("A", 0, 1000, "current while receiving")]
Standby = Annotated[float, In("A", 0, 1000, "current while waiting")]
TransmitShare = Annotated[float, In("%", 0, 100, "share of the time spent transmitting")]
ReceiveShare = Annotated[float, In("%", 0, 100, "share of the time spent receiving")]


@calculator(
    "endurance", "batteries", formula="I = st It + sr Ir + (1 - st - sr) Is; t = C f u / I",
    validity="no charging meanwhile, currents up to the rated one; whether the volts suffice is another question",
    source="duty of 10, 10 and 80 %: US National Institute of Justice; cold: " + COLD,
)
def endurance(
    capacity: Capacity, usable: Usable, *, transmit: Transmit, receive: Receive, standby: Standby,
    transmit_share: TransmitShare = 10.0, receive_share: ReceiveShare = 10.0,
    left: Annotated[float, In("%", 1, 150, "what cold and age leave of the capacity")] = 100.0,
) -> Endurance:
    """How long a battery carries a set that transmits, receives and waits by turns."""
    current_a = duty_current_a(transmit, receive, standby, transmit_share / 100, receive_share / 100)
    return Endurance(current_a, endurance_h(capacity, current_a, usable / 100, left / 100))


class DutyBattery(NamedTuple):
    current: Annotated[float, Out("A", "mean current")]
    drawn: Annotated[float, Out("Ah", "charge drawn")]
    capacity: Annotated[float, Out("Ah", "capacity to buy")]


@calculator(
    "duty-battery-size", "batteries", formula="C = I t f / u, I as in endurance",
    validity="no charging meanwhile, currents up to the rated one",
    source="duty of 10, 10 and 80 %: US National Institute of Justice; steps as in IEEE 1013",
)
def duty_battery_size(
    time: Annotated[float, In("h", 0, 10_000, "time to last")],
    usable: Usable, *, transmit: Transmit, receive: Receive, standby: Standby,
    transmit_share: TransmitShare = 10.0, receive_share: ReceiveShare = 10.0,
    factor: Annotated[float, In("", 1, 10, "for cold, age and reserve")] = 1.0,
) -> DutyBattery:
    """What battery carries a set for a time."""
    current_a = duty_current_a(transmit, receive, standby, transmit_share / 100, receive_share / 100)
    return DutyBattery(current_a, current_a * time, duty_capacity_ah(current_a, time, usable / 100, factor))


@calculator(
    "stand-alone-battery-size", "batteries", formula="C = W d f / (u U)",
    validity="a site without mains that must last some days without charge", source="IEEE 1013, the same steps",
)
def stand_alone_battery_size(
    energy: Annotated[float, In("Wh", 0, 1_000_000, "energy used in a day")],
    days: Annotated[float, In("d", 0, 365, "days without charge")],
    usable: Usable,
    volts: Annotated[float, In("V", 1, 1000, "nominal voltage")],
    cold_factor: Annotated[float, In("", 1, 10, "for the coldest battery: 1.30 at 4.4 degC for lead-acid")] = 1.0,
) -> Annotated[float, Out("Ah", "rated capacity")]:
    """What battery carries a site over days without sun or generator."""
    return stand_alone_capacity_ah(energy, days, usable / 100, cold_factor, volts)


@calculator(
    "prospective-current", "batteries", formula="I = E / (Ri + Rl)",
    validity="steady; for a breaking capacity new battery and cold copper, for clearing aged battery and hot copper",
    source="Ohm's law",
)
def prospective_current(
    emf: Annotated[float, In("V", 0.1, 1000, "voltage at rest")],
    battery: Annotated[float, In("mohm", 0.01, 10_000, "resistance of the battery")],
    leads: Annotated[float, In("mohm", 0, 100_000, "leads out and back, with joints")] = 0.0,
) -> Annotated[float, Out("A", "current into the short")]:
    """What a battery drives into a dead short."""
    return prospective_current_a(emf, battery / 1000, leads / 1000)


@calculator(
    "bank-prospective-current", "batteries", formula="I = I1 n / ns",
    validity="equal batteries; at their posts, without leads", source="ABYC E-11: strings in parallel add",
)
def bank_prospective_current(
    battery: Annotated[float, In("A", 0, 100_000, "short-circuit current of one battery")],
    batteries: Annotated[float, In("", 1, 1000, "batteries in the bank")],
    in_series: Annotated[float, In("", 1, 1000, "of these, in series in a string")] = 1.0,
) -> Annotated[float, Out("A", "short-circuit current of the bank")]:
    """What a bank drives into a dead short: strings in parallel add, batteries in series do not."""
    return bank_prospective_current_a(battery, batteries, in_series)


class StarterBound(NamedTuple):
    resistance: Annotated[float, Out("mohm", "its resistance at -18 degC, at most")]
    current: Annotated[float, Out("A", "its short-circuit current, at least")]


@calculator(
    "starter-battery-resistance-bound", "batteries", formula="R <= (E - 7.2 V) / CCA",
    validity="new, full, 12 V, -18 degC; a bound and no estimate: never for the highest fault current",
    source="derived from the definition in SAE J537",
)
def starter_battery_resistance_bound(
    cranking: Annotated[float, In("A", 10, 10_000, "cold cranking current on the label")],
    rest: Annotated[float, In("V", 7.5, 15, "voltage at rest")] = 12.6,
) -> StarterBound:
    """The most that the resistance of a new starter battery can be.

    It may be far less: what it drives into a short can be well above the current given here.
    """
    bound_ohm = starter_resistance_bound_ohm(cranking, rest)
    return StarterBound(1000 * bound_ohm, rest / bound_ohm)


@calculator(
    "alternator-continuous-load", "batteries", formula="I = 0.8 Ir",
    validity="at the speed of the rating; at idle it gives far less", source="FAA AC 43.13-1B chg 1, 11-35",
)
def alternator_continuous_load(
    rated: Annotated[float, In("A", 0, 1000, "rated output")],
    share: Annotated[float, In("%", 0, 100, "share that counts as continuous")] = 80.0,
) -> Annotated[float, Out("A", "continuous load")]:
    """What an alternator may carry for hours while nobody watches an ammeter."""
    return alternator_continuous_a(rated, share / 100)


@calculator(
    "relay-equalising-current", "batteries", formula="I = (U1 - U2) / R",
    validity="the moment of closing; an alternator gives no more than it can", source="Ohm's law",
)
def relay_equalising_current(
    full: Annotated[float, In("V", 0, 1000, "voltage of the full battery or the alternator")],
    empty: Annotated[float, In("V", 0, 1000, "voltage at rest of the empty battery")],
    loop: Annotated[float, In("mohm", 0.1, 100_000, "both batteries, leads, fuses and contact")],
) -> Annotated[float, Out("A", "equalising current")]:
    """What flows when a charging relay joins a full and an empty battery: the relay and both fuses must stand it."""
    return equalising_current_a(full, empty, loop / 1000)


class Standing(NamedTuple):
    time: Annotated[float, Out("h", "time until that share is gone")]
    a_day: Annotated[float, Out("%", "share that goes in a day")]


@calculator(
    "standing-drain-time", "batteries", formula="t = s C / (I + m C / 730 h)",
    validity="steady drain; capacity of the battery as it is: aged, cold", source="definition of the ampere-hour",
)
def standing_drain_time(
    capacity: Capacity,
    drain: Annotated[float, In("mA", 0, 100_000, "everything that draws while the vehicle stands")],
    share: Annotated[float, In("%", 0.1, 100, "share that may go; 40 leaves 60 for the start")] = 40.0,
    self_discharge: Annotated[float, In("%", 0, 50, "what the battery loses by itself in a month")] = 0.0,
) -> Standing:
    """How long a vehicle may stand before its battery has lost a share of its charge."""
    time_h = standing_time_h(capacity, drain / 1000, share / 100, self_discharge / 100)
    return Standing(time_h, share * 24 / time_h)


CALCULATORS = (
    alternator_continuous_load, bank_prospective_current, battery_emf, capacity_at_temperature, charger_input_current,
    duty_battery_size, endurance, peukert_time, peukert_time_one_amp, prospective_current, relay_equalising_current,
    reserve_capacity, stand_alone_battery_size, standing_drain_time, starter_battery_resistance_bound,
)
