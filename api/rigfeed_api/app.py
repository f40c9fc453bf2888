"""The app: settings in, a Flask app out. What it serves is a list of blueprints."""

from __future__ import annotations

from importlib.metadata import version

from flask import Flask
from flask_smorest import Api
from flask_smorest.error_handler import ErrorHandlerMixin

from rigfeed.registry import Registry, installed_registry
from rigfeed_api import problems
from rigfeed_api.blueprint import Blueprint
from rigfeed_api.engine import Engine
from rigfeed_api.settings import Settings


class DocumentedApi(Api):  # type: ignore[misc]
    """The framework's collector of the OpenAPI document; errors are ours."""

    ERROR_SCHEMA = problems.ProblemSchema
    DEFAULT_ERROR_RESPONSE_NAME = None  # each view says what it refuses with

    def _register_error_handlers(self) -> None:
        """`rigfeed_api.problems` has them."""


assert hasattr(ErrorHandlerMixin, "_register_error_handlers")  # the name that is overridden above


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
    api = DocumentedApi(app)
    for blueprint in _blueprints():
        api.register_blueprint(blueprint)
    app.extensions["rigfeed-document"] = api.spec
    return app


def _blueprints() -> list[Blueprint]:
    """Everything that is served under /v1, in the order of the document."""
    from rigfeed_api.views import health

    return [health.blueprint]
