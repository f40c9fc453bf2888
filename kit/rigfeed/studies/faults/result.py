"""What the fault study found: what happened when in every short, and what protects every core from which side."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import cached_property
from typing import Literal

import numpy as np

from rigfeed.errors import UnknownName
from rigfeed.frozen import frozen
from rigfeed.network.ranges import Flags, Floats, Places
from rigfeed.parts.interfaces import Case
from rigfeed.studies.faults.events import DEAD_A, Course
from rigfeed.studies.faults.heat import Metal, Warming
from rigfeed.studies.faults.shorts import Short

End = Literal["from", "to"]

TRACE_A = 0.1  # less than this feeds nothing: what inputs draw at rest


@frozen
class Step:
    """What flows between two openings. `opens` are the devices that end it, `feeds` the sources that give more than a
    trace, with what each gives [A]. `from_a` and `to_a` are what the two ends of the core bring on which a short lies;
    None where it lies on none."""

    begin_s: float
    end_s: float
    short_a: float
    opens: tuple[str, ...]
    feeds: tuple[tuple[str, float], ...]
    from_a: float | None
    to_a: float | None


@frozen
class Timeline:
    """One short in one case. `out` are the batteries whose management unit has taken them off before it begins."""

    short: Short
    case: Case
    out: tuple[str, ...]
    steps: tuple[Step, ...]

    @property
    def first_a(self) -> float:
        """The current of the short at its beginning [A]."""
        return self.steps[0].short_a

    @property
    def opened(self) -> tuple[str, ...]:
        """The devices that open, in their order."""
        return tuple(device for step in self.steps for device in step.opens)

    @property
    def cleared_s(self) -> float:
        """When nothing feeds the short any more; infinite where it stays fed [s]."""
        return self.steps[-1].end_s

    @property
    def fed_by(self) -> tuple[tuple[str, float], ...]:
        """What goes on feeding it, and with how much [A]."""
        return self.steps[-1].feeds if math.isinf(self.cleared_s) else ()


@frozen
class Stress:
    """The worst that any short does to a core.

    `limit_s` is when it passes what its insulation bears (infinite: never), `lasting_a` what it goes on carrying in a
    short that stays fed. `withstand_a2s` and `ampacity_a` are None where its cable does not say.
    """

    core: str
    timeline: Timeline
    first_a: float
    let_through_a2s: float
    withstand_a2s: float | None
    ampacity_a: float | None
    lasting_a: float
    limit_s: float

    @property
    def too_much_a(self) -> float:
        """What it goes on carrying, if that is more than it carries for hours [A]."""
        carries = self.ampacity_a is not None and self.lasting_a <= self.ampacity_a
        return 0.0 if carries or self.lasting_a <= TRACE_A else self.lasting_a

    @property
    def share(self) -> float | None:
        """What passes, as a share of what the core bears."""
        return self.let_through_a2s / self.withstand_a2s if self.withstand_a2s else None


@frozen
class Side:
    """What stops the current that reaches shorts along a core from one of its ends, over all cases.

    `devices` are those that stop it, `fastest_s` and `slowest_s` when (infinite: it is never stopped), `least_a` and
    `most_a` what it is at the beginning. `fed_by` goes on feeding where nothing stops it.
    """

    end: End
    devices: tuple[str, ...]
    fastest_s: float
    slowest_s: float
    least_a: float
    most_a: float
    fed_by: tuple[str, ...]


@frozen(eq=False)
class CaseFaults:
    """All shorts of a case as arrays; the first axis of all but the course's is that of `shorts`.

    `out` names the batteries that are off from the beginning: a short stands twice where a management unit would act.
    """

    case: Case
    shorts: tuple[Short, ...]
    out: tuple[tuple[str, ...], ...]
    core_ids: tuple[str, ...]
    device_ids: tuple[str, ...]
    source_ids: tuple[str, ...]
    course: Course
    metal: Metal
    warming: Warming

    @cached_property
    def cleared_s(self) -> Floats:
        """When each short is cleared, infinite where it stays fed [s]."""
        cleared: Floats = self.course.length_s.sum(axis=0)
        return cleared

    @cached_property
    def columns(self) -> dict[str, int]:
        """The place of each core in the arrays."""
        return {core: place for place, core in enumerate(self.core_ids)}

    @cached_property
    def on(self) -> dict[str | None, list[int]]:
        """The numbers of the shorts along each core; under None of those that lie on none."""
        found: dict[str | None, list[int]] = {}
        for number, short in enumerate(self.shorts):
            found.setdefault(short.core, []).append(number)
        return found

    @cached_property
    def badness(self) -> tuple[Floats, Floats, Floats]:
        """What makes one short worse than another for a core, the first counting most, of shape (shorts, cores): when
        it passes what it bears, what it goes on carrying if that is more than it carries for hours, what it lets
        through."""
        lasting_a = self.warming.lasting_a
        too_much_a = np.where(lasting_a <= self.metal.ampacity_a, 0.0, lasting_a)
        return _rounded(self.warming.limit_s), _rounded(too_much_a), _rounded(self.warming.let_through_a2s)

    @cached_property
    def _timelines(self) -> dict[int, Timeline]:
        return {}

    def timeline(self, number: int) -> Timeline:
        """One of the shorts, step by step; made when it is first asked for."""
        if number not in self._timelines:
            steps = tuple(self._steps(number))
            self._timelines[number] = Timeline(self.shorts[number], self.case, self.out[number], steps)
        return self._timelines[number]

    def _steps(self, number: int) -> Iterator[Step]:
        course, begin_s = self.course, 0.0
        arrays = (course.length_s, course.short_a, course.start_a, course.end_a, course.opens, course.source_a)
        opened: list[bool] = [True]
        for length_s, short_a, start_a, end_a, opens, source_a in zip(
            *(array[:, number].tolist() for array in arrays), strict=True
        ):
            if not any(opened):
                return
            yield Step(
                begin_s, begin_s + length_s, short_a,
                tuple(device for device, is_open in zip(self.device_ids, opens, strict=True) if is_open),
                tuple((source, amps) for source, amps in zip(self.source_ids, source_a, strict=True) if amps > TRACE_A),
                _known(start_a), _known(end_a),
            )
            begin_s, opened = begin_s + length_s, opens


@frozen(eq=False)
class Faults:
    """All shorts of an installation, in the case of the highest and in that of the lowest current."""

    cases: tuple[CaseFaults, ...]

    @property
    def timelines(self) -> Iterator[Timeline]:
        """All of them, case by case, by place."""
        return (found.timeline(number) for found in self.cases for number in range(len(found.shorts)))

    def on(self, core: str) -> tuple[Timeline, ...]:
        """Those along a core."""
        return tuple(found.timeline(number) for found in self.cases for number in found.on.get(core, ()))

    def stress(self, core: str, counts: Callable[[CaseFaults], Flags] | None = None) -> Stress | None:
        """The worst of all shorts for a core: the one that drives it first past what it bears, else the one that lasts
        with the greatest current above its ampacity, else the one that lets most through. None where none reaches it.

        `counts` says which shorts of a case are to be looked at.

        Raises
        ------
        UnknownName
            If there is no such core, or none that conducts.
        """
        found = [self._worst(case, core, counts) for case in self.cases]
        return max((stress for stress in found if stress is not None), key=_badness, default=None)

    def _worst(self, found: CaseFaults, core: str, counts: Callable[[CaseFaults], Flags] | None) -> Stress | None:
        if core not in found.columns:
            raise UnknownName("core", core, found.core_ids)
        place, warming = found.columns[core], found.warming
        flows = np.abs(found.course.core_a[:, :, place]).max(axis=0, initial=0.0) > TRACE_A
        rows = np.flatnonzero(flows if counts is None else flows & counts(found))
        if not len(rows):
            return None
        limit_s, too_much_a, through = (numbers[rows, place] for numbers in found.badness)
        row = int(rows[np.lexsort((-through, -too_much_a, limit_s))[0]])
        withstand, ampacity = (_known(array[place]) for array in (found.metal.withstand_a2s, found.metal.ampacity_a))
        return Stress(
            core, found.timeline(row), abs(float(found.course.core_a[0, row, place])),
            float(warming.let_through_a2s[row, place]), withstand, ampacity, float(warming.lasting_a[row, place]),
            float(warming.limit_s[row, place]),
        )

    def sides(self, core: str) -> tuple[Side, ...]:
        """What stops the current that comes from each end of a core; ends from which nothing comes are left out."""
        timelines = self.on(core)
        ends: tuple[End, End] = ("from", "to")
        sides = (_side(end, [stopped for t in timelines if (stopped := _stop(t, end))]) for end in ends)
        return tuple(side for side in sides if side is not None)


_Stop = tuple[float, float, tuple[str, ...], tuple[str, ...]]  # amperes, seconds, devices, what feeds on


def _stop(timeline: Timeline, end: End) -> _Stop | None:
    """When the current from one end stops and what stops it; None where none comes."""
    amps = [abs(step.from_a if end == "from" else step.to_a) for step in timeline.steps  # type: ignore[arg-type]
            if step.from_a is not None]
    if not amps or amps[0] <= DEAD_A:
        return None
    last = max(place for place, a in enumerate(amps) if a > DEAD_A)
    step = timeline.steps[last]
    if math.isinf(step.end_s):
        return amps[0], math.inf, (), tuple(source for source, _ in step.feeds)
    return amps[0], step.end_s, step.opens, ()


def _side(end: End, stops: list[_Stop]) -> Side | None:
    if not stops:
        return None
    devices = sorted({device for stop in stops for device in stop[2]})
    sources = sorted({source for stop in stops for source in stop[3]})
    times, amps = [stop[1] for stop in stops], [stop[0] for stop in stops]
    return Side(end, tuple(devices), min(times), max(times), min(amps), max(amps), tuple(sources))


def _badness(stress: Stress) -> tuple[float, float, float]:
    return -float(f"{stress.limit_s:.9g}"), float(f"{stress.too_much_a:.9g}"), float(f"{stress.let_through_a2s:.9g}")


def _known(number: float) -> float | None:
    return None if math.isnan(number) else float(number)


def _rounded(numbers: Floats) -> Floats:
    """Nine digits: two shorts that are as bad must not be told apart by the last bit of a solve."""
    with np.errstate(divide="ignore", invalid="ignore"):
        size = 10.0 ** (np.floor(np.log10(np.abs(numbers))) - 8)
        rounded = np.round(numbers / size) * size
    return np.where(np.isfinite(rounded), rounded, numbers)


def rows_of(found: CaseFaults, chosen: Callable[[Short], bool]) -> Places:
    """The numbers of the shorts that are chosen."""
    return np.flatnonzero([chosen(short) for short in found.shorts]).astype(np.intp)
