"""Why a way is advised, and the rules that a fitter may hold: in our words, each with its document and place."""

from __future__ import annotations

from rigfeed.design.model import Vehicle
from rigfeed.frozen import frozen
from rigfeed.practice import Practice, Threshold
from rigfeed.trials.return_options import POST, Option

FAR_M = Threshold("return-far.distance", "m", "greatest distance of the return point from the equipment")
FCS_BODY = "FCS 1362:2010 4.6.4, page 43"
CALTRANS = "Caltrans vehicle equipment guide 17, item 12"


@frozen
class School:
    """A rule that a fitter may hold, with its authority, and whether the way that is advised follows it; `about` is
    what it speaks of, and where it stands on the paper."""

    about: str
    rule: str
    authority: str
    followed: bool


def reason(best: Option, vehicle: Vehicle, practice: Practice) -> tuple[str, str]:
    """Why this way, and on whose authority."""
    if vehicle.isolated_return:
        return (
            "Both poles of this vehicle are kept off the body, so the body may carry nothing: two wires, and since "
            "neither pole is grounded, a fuse in each.", "FCS 1362:2010 4.7.2; 33 CFR 183.455(a)",
        )
    if best.way.where == "post":
        preferred = practice.default(POST)
        return (
            "No sensor sits on the negative post, the practice takes the post, and a fuse there stops the starter's "
            "current when the body strap opens.", preferred[1].authority if preferred else "",
        )
    if vehicle.battery_sensor:
        return (
            "A sensor sits on the negative post: what returns to the post itself passes it by, what returns over the "
            "body is counted.", FCS_BODY,
        )
    return (
        "The body is the return of everything else in this vehicle; a short wire to it drops least, and nothing of "
        "yours bridges the strap.", FCS_BODY,
    )


def schools(practice: Practice, best: Option) -> tuple[School, ...]:
    """The rules, and which of them are followed here."""
    where, fused, isolated = best.way.where, best.way.fused, bool(best.design.vehicle.isolated_return)
    far = practice.threshold(FAR_M)
    metres = f"{far[0]:g} m" if far else "1 m"
    body, fuse, neither = "Rules that take the body", "Rules on a fuse in it", "Where the body is no return"
    return (
        School(
            body, "negative-earth vehicle: no fuse in it, and close to the battery's own bond", FCS_BODY,
            where == "strap" and not fused,
        ),
        School(
            body, "to the battery's chassis ground, not to a bracket or any metal part",
            "US amateur question pool 2022, T4A11", where == "strap",
        ),
        School(
            body, f"no fuse in it, and within {metres} of the equipment", f"practice {practice.name}",
            where == "body" and not fused,
        ),
        School(
            fuse, "leads straight to the battery's terminals: a fuse in both", CALTRANS,
            where == "post" and fused and not isolated,
        ),
        School(
            fuse, "a grounded conductor has no fuse that opens it alone", "46 CFR 111.05-37(a), for vessels",
            not fused and not isolated,
        ),
        School(
            neither, "bus, tanker, boat: two wires, a fuse in each that is not grounded",
            "FCS 1362:2010 4.7.2; 33 CFR 183.455(a)", isolated and where == "post" and fused,
        ),
    )
