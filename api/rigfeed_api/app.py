"""The app: settings in, a Flask app out. What it serves is a list of blueprints."""

from __future__ import annotations

from importlib.metadata import version

from flask import Flask

from rigfeed.registry import Registry, installed_registry
from rigfeed_api import guard, limits, log, pages, problems
from rigfeed_api.blueprint import Blueprint
from rigfeed_api.document import DocumentedApi
from rigfeed_api.engine import Engine
from rigfeed_api.settings import Settings
from rigfeed_api.store.database import Database
from rigfeed_api.tokens import Tokens


def create_app(settings: Settings, registry: Registry | None = None) -> Flask:
    """The app for these settings, over the plugins of this installation or over a registry of one's own."""
    app = Flask("rigfeed_api", static_folder=None)
    app.config.update(
        API_TITLE="rigfeed", API_VERSION=version("rigfeed"), OPENAPI_VERSION="3.1.0",
        MAX_CONTENT_LENGTH=settings.limits.batch_bytes,
    )
    app.json.sort_keys = False  # type: ignore[attr-defined]
    app.url_map.strict_slashes = False
    app.extensions["rigfeed"] = Engine(settings, registry or installed_registry())
    problems.install(app)
    log.install(app)
    limits.install(app, settings.per_minute)
    app.extensions["rigfeed-database"] = database = Database(settings.data)
    guard.install(app, Tokens(database))
    api = DocumentedApi(app)
    for blueprint in _blueprints():
        api.register_blueprint(blueprint)
    app.register_blueprint(pages.blueprint)
    app.extensions["rigfeed-spec"] = api.spec
    return app


def _blueprints() -> list[Blueprint]:
    """Everything that is served under /v1, in the order of the document."""
    from rigfeed_api.views import assess, batch, calculators, health, intake, papers, revisions, rules, shelf, trials

    first = [m.blueprint for m in (assess, papers, revisions, batch, trials, calculators, shelf)]
    return [*first, intake.blueprint, intake.own, *(m.blueprint for m in (rules, health))]
