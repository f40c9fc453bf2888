from rigfeed.plugin import hookimpl


@hookimpl
def register_cheks():
    return []
