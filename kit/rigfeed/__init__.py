"""rigfeed: design, check and cut lists for two-way radio installations in vehicles.

>>> import rigfeed
>>> assessment = rigfeed.assess_file(rigfeed.example("hazel"))
>>> [finding.check for finding in assessment.findings if finding.severity == "error"]
['breaking-capacity-low']
>>> round(assessment[rigfeed.OPERATING].across("all-keyed-engine-off", "vhf"), 1)
11.9
"""

import rigfeed.threads  # noqa: F401 - before anything loads NumPy
from rigfeed.assess import Assessment, assess
from rigfeed.checks.check import Finding, NotChecked
from rigfeed.design.edit import Add, Remove, Rename, Set, apply
from rigfeed.design.model import Design
from rigfeed.errors import RigfeedError
from rigfeed.examples import example
from rigfeed.load import assess_file, load
from rigfeed.path import Path
from rigfeed.quantity import Quantity
from rigfeed.studies.operating import OPERATING

__all__ = [
    "OPERATING", "Add", "Assessment", "Design", "Finding", "NotChecked", "Path", "Quantity", "Remove", "Rename",
    "RigfeedError", "Set", "apply", "assess", "assess_file", "example", "load",
]
