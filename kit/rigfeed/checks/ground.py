"""Where the current goes back."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.checks.check import Check, Finding, NotChecked
from rigfeed.installation import Installation, PlacedNode, net_of
from rigfeed.keyed import Keyed
from rigfeed.path import Path
from rigfeed.view import View


def sensor_bypassed(view: View) -> Iterator[Finding | NotChecked]:
    installation = view.installation
    has_sensor = installation.design.vehicle.battery_sensor
    if has_sensor is None:
        why = "needs to know whether a sensor sits on the battery's negative post (vehicle.battery_sensor)"
        yield NotChecked("sensor-bypassed", why, Path("vehicle"))
    if not has_sensor:
        return
    for battery, post in _vehicle_batteries(installation):
        for conductor in installation.conductors.values():
            if conductor.origin != "vehicle" and any(end.net == post for end in conductor.ends):
                yield Finding(
                    subject=Path("conductors", conductor.id), also=(Path("nodes", battery.id),),
                    numbers=Keyed({"wire": conductor.label, "battery": battery.title}),
                    message="{wire} ends on the negative post of {battery}, on the battery's side of the sensor. The "
                    "sensor does not see that current, the vehicle takes the battery to be fuller than it is, and "
                    "charges and starts by a wrong figure.",
                    remedy="Take the return to the body, at the body end of the battery strap, so that the current "
                    "passes the sensor.",
                )  # fmt: skip


def _vehicle_batteries(installation: Installation) -> list[tuple[PlacedNode, str]]:
    """The batteries on the vehicle's own wiring with the net of their negative post; all where none is marked so."""
    batteries = [
        (node, net_of(f"{node.id}.{part.poles[1]}", part), net_of(f"{node.id}.{part.poles[0]}", part))
        for node, part in installation.sources
        if part.stores
    ]
    own = {end.net for c in installation.conductors.values() if c.origin == "vehicle" for end in c.ends}
    marked = [(node, negative) for node, negative, positive in batteries if own & {negative, positive}]
    return marked or [(node, negative) for node, negative, _ in batteries]


CHECKS = (Check("sensor-bypassed", "ground", "error", sensor_bypassed),)
