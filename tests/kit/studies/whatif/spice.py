"""A changed network for ngspice, an independent circuit simulator: plain lines from the elements, every current that a
load draws a source of its own, one net to ground in each island, a leak of 1e9 ohm from every net."""

from __future__ import annotations

import subprocess
from collections.abc import Iterable
from pathlib import Path

from tests.kit.network.spice import terminals, written
from tests.kit.studies.islands import Islands

from rigfeed.network.elements import Element

LEAK_OHM = 1e9


def potentials(elements: Iterable[Element], zeros: Iterable[str], ngspice: str, folder: Path) -> dict[str, float]:
    """The potential of every net [V]."""
    listed = list(elements)
    nets = sorted({net for element in listed for net in terminals(element)})
    ground = Islands(listed).grounds(zeros)
    nodes = {net: "0" if net in ground else f"n{number}" for number, net in enumerate(nets)}
    lines = [line for number, element in enumerate(listed) for line in written(element, number, nodes)]
    wanted = sorted(set(nodes.values()) - {"0"})
    table = folder / "point.txt"
    deck = [
        "* what if", *lines, "Vbent bent 0 1", "Vload load 0 1", "Vk k 0 0",
        f".options reltol=1e-9 vntol=1e-9 abstol=1e-12 rshunt={LEAK_OHM!r} itl1=500 itl2=500",
        ".control", "set numdgt=15", "dc Vk 0 1 1", "set wr_singlescale",
        f"wrdata {table} " + " ".join(f"V({node})" for node in wanted), "quit", ".endc", ".end",
    ]
    file = folder / "point.cir"
    file.write_text("\n".join(deck) + "\n", encoding="ascii")
    done = subprocess.run([ngspice, "-b", "-n", str(file)], capture_output=True, text=True, timeout=60, check=False)
    assert table.exists(), done.stdout + done.stderr
    row = [float(cell) for cell in table.read_text(encoding="ascii").splitlines()[0].split()]
    table.unlink()
    volt = {"0": 0.0, **dict(zip(wanted, row[1:], strict=True))}
    return {net: volt[node] for net, node in nodes.items()}
