"""The study of ratings: for every fuse and breaker the smallest rating that carries its load, the largest that still
protects what is behind it, and why.

`window` is what a check or a paper reads, `least` and `most` find the reasons on either side, `full` what converters
take at full output, `study` puts it together.
"""

from __future__ import annotations

from rigfeed.studies.ratings.study import RATINGS
from rigfeed.studies.ratings.window import Bound, Ratings, Window

__all__ = ["RATINGS", "Bound", "Ratings", "Window"]
