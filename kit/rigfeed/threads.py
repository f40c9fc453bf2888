"""One thread for NumPy, wherever it has not been loaded yet and nobody asked for more.

The matrices here are small: threads that share one out wait for each other, and on busy cores that takes ten times as
long as one thread alone. This is imported before all else, since NumPy looks at it only once.
"""

from __future__ import annotations

import os

for _name in ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")
