"""The checks of the group conductor: what arrives at the end of it, what it carries, how it is laid."""

from rigfeed.checks.ampacity import CHECKS as AMPACITY
from rigfeed.checks.feed import CHECKS as FEED
from rigfeed.checks.leads import CHECKS as LEADS

CHECKS = (*FEED, *AMPACITY, *LEADS)
