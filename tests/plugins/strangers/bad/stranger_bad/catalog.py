from rigfeed.plugin import Resource, hookimpl


@hookimpl
def register_catalogs():
    return [Resource("stranger_bad", "not-there.csv")]
