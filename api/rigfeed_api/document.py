"""The OpenAPI document: what the views say of themselves, and what holds for all of them.

Links join the operations that follow one another, so that a reader (a person or a program) can walk through them.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable
from typing import Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from flask import Flask
from flask_smorest import Api
from marshmallow import Schema

from rigfeed.cautions import CAUTIONS
from rigfeed.design.schema import DesignSchema
from rigfeed.examples import example
from rigfeed.registry import Registry
from rigfeed_api import problems
from rigfeed_api.document_fields import KEPT_SCHEMA, kit_field

METHODS = ("get", "post", "put", "patch", "delete", "head")
PROBLEM = {"$ref": "#/components/responses/Problem"}
TOO_MANY = {"$ref": "#/components/responses/TooMany"}
ALWAYS = ("401", "403")  # of every operation that a token guards
OPEN = ("health",)  # the tags whose operations need no token
INTRODUCTION = """\
Post the design of a radio installation in a vehicle; get findings, a cut list, a workbook, drawings, figures.

A design is the same data as in a design file, as TOML (`application/toml`) or as JSON (`application/json`). A finding
is an answer, not an error: errors are problem documents (RFC 9457) with a pointer to each place that is wrong.

Every request but those to /v1/health carries a token: `Authorization: Bearer <token>`. A server for which none was ever
made needs none, and answers to its own machine only."""


class DocumentedApi(Api):  # type: ignore[misc]
    """The framework's collector of the document; errors are ours."""

    ERROR_SCHEMA = problems.ProblemSchema
    DEFAULT_ERROR_RESPONSE_NAME = None  # each view says what it refuses with

    def init_app(self, app: Flask, *, spec_kwargs: dict[str, Any] | None = None) -> None:
        """As the framework's, with the fields of the kit known before the first schema is met."""
        plugin = MarshmallowPlugin(schema_name_resolver=_name_of_schema)
        super().init_app(app, spec_kwargs={**(spec_kwargs or {}), "marshmallow_plugin": plugin})
        self.ma_plugin.converter.add_attribute_function(kit_field)
        self.spec.components.schema("Kept", KEPT_SCHEMA)
        self.spec.components.schema("Design", schema=DesignSchema)

    def _register_error_handlers(self) -> None:
        """`rigfeed_api.problems` has them."""


def _name_of_schema(schema: type[Schema] | Schema) -> str:
    """The name without its ending; what stands in a design is named for it, since answers use the same words."""
    kind = schema if isinstance(schema, type) else type(schema)
    name = kind.__name__.removesuffix("Schema")
    return f"Design{name}" if kind.__module__.startswith("rigfeed.") and name != "Design" else name


KEPT = {"design": "$response.body#/id"}
TAG = {"header.If-Match": "$response.header.ETag"}
REVISION = {**KEPT, "revision": "$response.body#/revision"}
LISTED = {"design": "$response.body#/designs/0/id"}
# operation -> (status, operations that take something of its answer: {name: {parameter: expression}})
LINKS: dict[str, tuple[str, dict[str, dict[str, str]]]] = {
    "listStudies": ("200", {"runStudy": {"study": "$response.body#/studies/0/name"}}),
    "listPapers": ("200", {"makePaper": {"paper": "$response.body#/papers/0/name"}}),
    "listDrawings": ("200", {"makeDrawing": {"drawing": "$response.body#/drawings/0/name"}}),
    "listFigures": ("200", {name: {"figure": "$response.body#/figures/0/name"} for name in (
        "makeFigure", "subjectsOfFigure",
    )}),
    "subjectsOfFigure": ("200", {"makeFigure": {"query.subject": "$response.body#/subjects/0/id"}}),
    "listCalculators": ("200", {
        "describeCalculator": {"calculator": "$response.body#/calculators/0/name"},
        "calculate": {"calculator": "$response.body#/calculators/0/name"},
    }),
    "describeCalculator": ("200", {"calculate": {"calculator": "$response.body#/name"}}),
    "listCatalogs": ("200", {"readCatalog": {"catalog": "$response.body#/catalogs/0/name"}}),
    "readCatalog": ("200", {"readPart": {"key": "$response.body#/parts/0/key"}}),
    "keepList": ("201", {
        "readCatalog": {"catalog": "$response.body#/catalog"},
        "removeCatalog": {"catalog": "$response.body#/catalog", **TAG},
    }),
    "listKinds": ("200", {"findParts": {"query.kind": "$response.body#/kinds/0/name"}}),
    "listChecks": ("200", {"readCheck": {"check": "$response.body#/checks/0/name"}}),
    "listPractices": ("200", {"readPractice": {"practice": "$response.body#/practices/0/name"}}),
    "readPractice": ("200", {"assess": {"query.practice": "$response.body#/name"}}),
    "createDesign": ("201", {
        "readDesign": KEPT, "replaceDesign": {**KEPT, **TAG}, "editDesign": {**KEPT, **TAG},
        "deleteDesign": {**KEPT, **TAG}, "listRevisions": KEPT, "readRevision": REVISION, "assessRevision": REVISION,
        "papersOfRevision": REVISION, "paperOfRevision": REVISION, "drawingOfRevision": REVISION,
        "figureOfRevision": REVISION, "subjectsOfRevision": REVISION,
    }),
    "replaceDesign": ("200", {"readDesign": KEPT, "editDesign": {**KEPT, **TAG}, "readRevision": REVISION}),
    "editDesign": ("200", {"readDesign": KEPT, "replaceDesign": {**KEPT, **TAG}, "assessRevision": REVISION}),
    "listDesigns": ("200", {"readDesign": LISTED, "listRevisions": LISTED}),
}


def document(app: Flask) -> dict[str, Any]:
    """The whole document of an app, made once: `interface`, and the names that the installed plugins give."""
    if "rigfeed-document" not in app.extensions:
        made = interface(app)
        _name(made["paths"], app.extensions["rigfeed"].registry)
        app.extensions["rigfeed-document"] = made
    found: dict[str, Any] = app.extensions["rigfeed-document"]
    return found


def interface(app: Flask) -> dict[str, Any]:
    """The document without what depends on the plugins that are installed: it changes when this package does."""
    spec: APISpec = app.extensions["rigfeed-spec"]
    made: dict[str, Any] = copy.deepcopy(spec.to_dict())
    made["info"] |= {
        "summary": "Electrical design of two-way radio installations in vehicles",
        "description": "\n\n".join([INTRODUCTION, "Cautions:", *CAUTIONS]),
        "license": {"name": "Apache-2.0", "identifier": "Apache-2.0"},
    }
    made["servers"] = [{"url": "/"}]
    made["components"] = {
        **made["components"], "responses": _responses(),
        "securitySchemes": {"token": {"type": "http", "scheme": "bearer"}},
    }
    for name, schema in made["components"]["schemas"].items():
        if name.startswith("Design") and "properties" in schema:
            schema["additionalProperties"] = False  # `rigfeed.fields.TableSchema` refuses them by its own rule
    operations = [item[method] for item in made["paths"].values() for method in METHODS if method in item]
    for operation in operations:
        _complete(operation)
    _link({operation.get("operationId", ""): operation for operation in operations})
    return made


def _responses() -> dict[str, Any]:
    schema = {"schema": {"$ref": "#/components/schemas/Problem"}}
    return {
        "Problem": {"description": "what is wrong", "content": {problems.MEDIA_TYPE: schema}},
        "TooMany": {
            "description": "too many requests", "content": {problems.MEDIA_TYPE: schema},
            "headers": {"Retry-After": {"schema": {"type": "integer"}, "description": "seconds to wait"}},
        },
    }


def _name(paths: dict[str, Any], registry: Registry) -> None:
    """Say which names there are, where the registry knows all: those of strangers' plugins stand beside our own."""
    known: dict[str, Iterable[str]] = {
        "study": registry.studies, "paper": registry.papers, "drawing": registry.drawings, "figure": registry.figures,
        "check": registry.checks,
        "calculator": registry.calculators, "practice": registry.practices.names(),
    }
    for item in paths.values():
        for parameter in item.get("parameters", []):
            if parameter["in"] == "path" and (names := known.get(parameter["name"])):
                parameter["schema"] = {"type": "string", "enum": sorted(names)}


def _complete(operation: dict[str, Any]) -> None:
    """What a view need not say: the problems of all operations, and that a token is needed."""
    responses = operation["responses"]
    for status in list(responses):
        if int(status) >= 400:
            responses[status] = PROBLEM
    if operation["tags"][0] in OPEN:
        operation["security"] = []
    else:
        operation["security"] = [{"token": []}]
        responses |= dict.fromkeys(ALWAYS, PROBLEM)
    responses["429"] = TOO_MANY
    responses["406"] = PROBLEM
    operation["responses"] = dict(sorted(responses.items(), key=lambda pair: str(pair[0])))
    operation["responses"] = {str(status): response for status, response in operation["responses"].items()}


def _link(operations: dict[str, dict[str, Any]]) -> None:
    for source, (status, targets) in LINKS.items():
        if source in operations:
            links = operations[source]["responses"][status].setdefault("links", {})
            for target, parameters in targets.items():
                if target in operations:
                    links[f"to-{target}"] = {"operationId": target, "parameters": parameters}


def example_design() -> str:
    """The text of a demonstration design, for the document and its page."""
    return example("hazel").read_text(encoding="utf-8")
