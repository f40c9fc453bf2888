"""The numbers of a network for many samples at once: one array of shape (samples, count) for each."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any, cast

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rigfeed.frozen import frozen
from rigfeed.network.elements import Switch
from rigfeed.network.errors import NetworkError
from rigfeed.network.network import Network
from rigfeed.network.ranges import KINDS, RANGES, Flags, Floats, Kind, check, gathered

FLAGS: dict[str, tuple[Kind, str]] = {  # yes or no, each: where it belongs, how it is called there
    "sink_asked": ("sink", "asked"),
    "sink_on": ("sink", "on"),
    "switch_closed": ("switch", "closed"),
    "converter_on": ("converter", "on"),
}


@frozen(eq=False)
class Values:
    """The numbers of all elements, in the units of their names; the elements themselves say what each one means.

    The first axis of every array is that of the samples, the second that of ``network.names[kind]``. Arrays cannot be
    written to. `sink_asked` says which loads are wanted to run. `sink_on`, `converter_on` and `switch_closed` say how
    each stood before: what a hysteresis starts from.
    """

    network: Network
    samples: int
    resistor_ohm_20: Floats
    resistor_alpha: Floats
    resistor_temperature_c: Floats
    source_emf_v: Floats
    source_ohm: Floats
    source_limit_a: Floats
    sink_value: Floats
    sink_min_v: Floats
    sink_restart_v: Floats
    sink_asked: Flags
    sink_on: Flags
    diode_drop_v: Floats
    diode_ohm: Floats
    switch_ohm: Floats
    switch_close_v: Floats
    switch_open_v: Floats
    switch_closed: Flags
    converter_out_v: Floats
    converter_out_ohm: Floats
    converter_limit_a: Floats
    converter_efficiency: Floats
    converter_standby_w: Floats
    converter_cutoff_v: Floats
    converter_restart_v: Floats
    converter_on: Flags

    @classmethod
    def of(cls, network: Network, samples: int = 1) -> Values:
        """What the elements of the network say themselves, the same in every sample; every sink is asked to run.

        Raises
        ------
        NetworkError
            If there is not at least one sample.
        """
        if samples < 1:
            raise NetworkError.about(f"{samples} samples; allowed: at least 1")
        arrays: dict[str, Any] = {}
        for kind in KINDS:
            numbers = gathered(kind, network.of_kind(kind))
            arrays |= {f"{kind}_{field}": _spread(array, samples) for field, array in numbers.items()}
        for name, (kind, _) in FLAGS.items():
            arrays[name] = _spread(np.ones(len(network.names[kind]), dtype=np.bool_), samples)
        closed = [cast("Switch", switch).closed for switch in network.of_kind("switch")]
        arrays["switch_closed"] = _spread(np.array(closed, dtype=np.bool_), samples)
        return cls(network=network, samples=samples, **arrays)

    def replace(self, **arrays: ArrayLike) -> Values:
        """The same values with whole arrays replaced, each of a shape that fits (samples, count).

        Values of one sample take on the number of samples of the arrays given.

        Raises
        ------
        NetworkError
            If there is no array of that name, its shape does not fit, or a number in it is out of its range.
        """
        given = {name: self._shaped(name, array) for name, array in arrays.items()}
        lengths = {array.shape[0] for array in given.values() if array.shape[0] != 1} | {self.samples} - {1}
        if len(lengths) > 1:
            raise NetworkError.about(f"arrays of {' and '.join(map(str, sorted(lengths)))} samples at once")
        samples = lengths.pop() if lengths else 1
        every = {name: given.get(name, getattr(self, name)) for name in _ARRAYS}
        changed = replace(self, samples=samples, **{name: _spread(array, samples) for name, array in every.items()})
        for kind in {_ARRAYS[name] for name in given}:
            changed._check(kind)
        return changed

    def vary(self, element: str, **numbers: ArrayLike) -> Values:
        """The same values with numbers of one element replaced by one number, or by one for each sample.

        The names are those of the element (``ohm_20``, ``value``), or `asked`, `on` and `closed`.

        Raises
        ------
        NetworkError
            If there is no such element or number, its shape does not fit, or it is out of its range.
        """
        kind, place = self.network.where(element)
        whole: dict[str, ArrayLike] = {}
        for field, number in numbers.items():
            name = f"{kind}_{field}"
            column = np.atleast_1d(np.asarray(number))
            if name not in _ARRAYS or column.ndim != 1:
                raise NetworkError.about(f"a {kind} has no number {field!r} of that shape", element, field)
            if self.samples not in {1, len(column)} and len(column) != 1:
                raise NetworkError.about(f"{len(column)} numbers for {self.samples} samples", element, field)
            array = np.array(_spread(getattr(self, name), max(self.samples, len(column))))
            array[:, place] = column
            whole[name] = array
        return self.replace(**whole)

    def take(self, rows: Any) -> Values:
        """The values of some samples: a slice, or an array of positions or of flags."""
        taken = {name: getattr(self, name)[rows] for name in _ARRAYS}
        return replace(self, samples=len(np.arange(self.samples)[rows]), **taken)

    def _shaped(self, name: str, array: ArrayLike) -> Any:
        if name not in _ARRAYS:
            raise NetworkError.about(f"there is no array {name!r} of values", name)
        count = len(self.network.names[_ARRAYS[name]])
        numbers: NDArray[Any] = np.array(array, dtype=np.bool_ if name in FLAGS else np.float64)
        if numbers.ndim < 2:
            numbers = numbers.reshape(1, -1)
        if numbers.ndim != 2 or numbers.shape[1] not in {1, count} or not numbers.shape[0]:
            raise NetworkError.about(f"an array of shape {np.shape(array)} for {count} elements", name)
        return np.broadcast_to(numbers, (numbers.shape[0], count))

    def _check(self, kind: Kind) -> None:
        arrays = {field: getattr(self, f"{kind}_{field}") for place, field in RANGES if place == kind}
        check(kind, self.network.names[kind], self.network.sink_kinds, arrays)


def _spread(array: Any, samples: int) -> Any:
    """The array with a leading sample axis of that length, not to be written to."""
    return np.broadcast_to(array, (samples, array.shape[-1]))


_ARRAYS: dict[str, Kind] = {
    field.name: next(kind for kind in KINDS if field.name.startswith(f"{kind}_"))
    for field in fields(Values)
    if field.name not in {"network", "samples"}
}
