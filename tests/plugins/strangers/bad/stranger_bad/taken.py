from rigfeed.plugin import Check, hookimpl


@hookimpl
def register_checks():
    return [Check("unfused-source", "source", "error", lambda view: ())]
