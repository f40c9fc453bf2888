import time

from rigfeed.plugin import hookimpl


@hookimpl
def register_checks():
    time.sleep(3600)
