"""The window of ratings of a protective device: its bounds on either side, each with its reason, and what fits."""

from __future__ import annotations

from rigfeed.frozen import frozen
from rigfeed.installation import PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import ProtectiveDevice
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.quantity import System

# What the practice says of ratings; each key begins with the name of the check that asks for it as well.
LOADED_SHARE = Threshold("fuse-loaded-too-close.share", "%", "continuous load of a fuse, as a share of its rating")
AMPACITY_SHARE = Threshold("fuse-above-ampacity.share", "%", "rating of a fuse, as a share of the ampacity behind it")
AMPACITY_BELOW_V = Threshold("fuse-above-ampacity.below", "V", "system voltage from which no share above 100 % counts")
CLEARED_S = Threshold(
    "fault-not-cleared-in-time.time", "s", "longest time to clear a short at the lowest fault current"
)
FLAT_SHARE = Threshold("fuse-window.flat", "%", "voltage of a flat battery, as a share of its nominal one")

LITTLE = 1e-9  # relative: a rating that meets its bound to the last bit but one meets it


@frozen
class Bound:
    """One reason why a rating may be no smaller, or no larger.

    `reason` is a template over the names in `numbers`; `subject` is what it is about, mostly a conductor or a load.
    """

    rating_a: float
    reason: str
    subject: Path
    authority: str
    numbers: Keyed[Measure | str] = Keyed()

    def text(self, system: System = "metric") -> str:
        """The reason with its numbers."""
        shown = {name: m.text(system) if isinstance(m, Measure) else m for name, m in self.numbers.items()}
        return self.reason.format(**shown)


@frozen(eq=False)
class Window:
    """The ratings between which a device carries its load and still protects what is behind it.

    Attributes
    ----------
    least, most : tuple of Bound
        The reasons for no less and for no more, on each side the one that governs first.
    wished : Bound, optional
        What the device wants in its warm air on top of that: how much warm air takes off it differs from maker to
        maker, so that it is a wish and not a bound.
    stock : tuple of ProtectiveDevice
        Its family on the shelf, that stands its volts and breaks no less, itself included, by rating.
    unknown : tuple of str
        What is not known, and may narrow the window.
    """

    node: PlacedNode
    device: ProtectiveDevice
    least: tuple[Bound, ...]
    most: tuple[Bound, ...]
    wished: Bound | None
    stock: tuple[ProtectiveDevice, ...]
    unknown: tuple[str, ...]

    @property
    def least_a(self) -> float:
        """The smallest rating that carries the load; 0 where nothing is carried [A]."""
        return self.least[0].rating_a if self.least else 0.0

    @property
    def most_a(self) -> float | None:
        """The largest rating that still protects; None where nothing says [A]."""
        return self.most[0].rating_a if self.most else None

    @property
    def is_open(self) -> bool:
        """Whether there is anything between the two."""
        return self.most_a is None or self.least_a <= self.most_a * (1 + LITTLE)

    def fits(self, rated_a: float) -> bool:
        """Whether a rating lies inside."""
        above = rated_a >= self.least_a * (1 - LITTLE)
        return above and (self.most_a is None or rated_a <= self.most_a * (1 + LITTLE))

    @property
    def fitting_a(self) -> tuple[float, ...]:
        """The ratings of the family that fit, rising [A]."""
        return tuple(sorted({part.rated_a for part in self.stock if self.fits(part.rated_a)}))

    @property
    def best_a(self) -> float | None:
        """Of those that fit the smallest that also has room for its warm air, else the largest; None: none fits [A]."""
        fitting = self.fitting_a
        wished_a = self.wished.rating_a if self.wished else 0.0
        roomy = [rated_a for rated_a in fitting if rated_a >= wished_a * (1 - LITTLE)]
        return roomy[0] if roomy else fitting[-1] if fitting else None


@frozen(eq=False)
class Ratings:
    """The window of every device, by id."""

    windows: Keyed[Window]
