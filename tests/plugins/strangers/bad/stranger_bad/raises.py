"""An object for each hook that raises in it."""

from rigfeed.plugin import hookimpl


def _raising(hook: str) -> object:
    def broken():
        raise ValueError(f"broken in {hook}")

    class Plugin:
        pass

    plugin = Plugin()
    setattr(plugin, hook, hookimpl(broken))
    return plugin


KINDS = _raising("register_part_kinds")
CATALOGS = _raising("register_catalogs")
PRACTICES = _raising("register_practices")
STUDIES = _raising("register_studies")
CALCULATORS = _raising("register_calculators")
CHECKS = _raising("register_checks")
PAPERS = _raising("register_papers")
DRAWINGS = _raising("register_drawings")
FIGURES = _raising("register_figures")
