"""Linear systems for many samples: dense and all at once while small, sparse and one by one above."""

from __future__ import annotations

import numpy as np

from rigfeed.network.circuit import Circuit
from rigfeed.network.ranges import Floats, somewhere

DENSE_MOST = 150  # unknowns; above it the cubes of a dense solve cost more than the loop over samples
_NUDGE = 1e-12  # relative, on the diagonal of a matrix that is singular to the last digit


def solved(circuit: Circuit, entries: Floats, right: Floats) -> Floats:
    """The solution for each sample of ``matrix @ x = right``.

    Parameters
    ----------
    entries : array, shape (samples, entries)
        The matrix at the positions `circuit.stamps.target`.
    right : array, shape (samples, nets, columns)
        The right-hand sides.
    """
    solve = _sparse if circuit.size > DENSE_MOST else _dense
    lost = somewhere(~np.isfinite(entries))
    if lost.any():
        entries = np.where(lost[:, None], 0.0, entries)
        entries[np.ix_(lost, circuit.diagonal)] = 1.0
    try:
        return solve(circuit, entries, right)
    except (np.linalg.LinAlgError, RuntimeError):
        nudged = entries.copy()
        nudged[:, circuit.diagonal] += _NUDGE * (1.0 + np.abs(entries).max(axis=1, keepdims=True))
        return solve(circuit, nudged, right)


def _dense(circuit: Circuit, entries: Floats, right: Floats) -> Floats:
    samples, size = entries.shape[0], circuit.size
    matrix = np.zeros((samples, size * size))
    matrix[:, circuit.stamps.target] = entries
    answers = np.empty_like(right)
    answers[:] = np.linalg.solve(matrix.reshape(samples, size, size), right)
    return answers


def _sparse(circuit: Circuit, entries: Floats, right: Floats) -> Floats:
    from scipy.sparse import csc_matrix
    from scipy.sparse.linalg import splu

    rows, columns = np.divmod(circuit.stamps.target, circuit.size)
    starts = np.searchsorted(rows, np.arange(circuit.size + 1))
    turned = csc_matrix((np.ones(len(columns)), columns, starts), shape=(circuit.size, circuit.size))  # rows as columns
    answers = np.empty_like(right)
    for sample, (data, column) in enumerate(zip(entries, right, strict=True)):
        turned.data = data
        factors = splu(turned, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.01, options={"SymmetricMode": True})
        answers[sample] = factors.solve(column, trans="T")
    return answers
