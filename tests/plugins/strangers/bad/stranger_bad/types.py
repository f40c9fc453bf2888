from rigfeed.plugin import hookimpl


@hookimpl
def register_checks():
    return ["a text where a check is wanted"]
