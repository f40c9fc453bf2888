"""The pages for people: the documentation, written from the OpenAPI document by this server; no script, no address of
anybody else."""

from __future__ import annotations

import json
import re
from typing import Any

from flask import Blueprint, Response, current_app, render_template
from markupsafe import Markup

from rigfeed.cautions import CAUTIONS
from rigfeed_api.document import METHODS, document, example_design

blueprint = Blueprint("pages", __name__, static_folder="static", static_url_path="/static")


@blueprint.get("/")
def front() -> str:
    """The documentation of everything that is served."""
    made = document(current_app)
    return render_template(
        "page.html", info=made["info"], tags=_by_tag(made), schemas=made["components"]["schemas"], cautions=CAUTIONS,
        introduction=made["info"]["description"].split("\n\nCautions:")[0].split("\n\n"), example=example_design(),
    )


@blueprint.get("/openapi.json")
def openapi() -> Response:
    """The OpenAPI document."""
    text = current_app.extensions.get("rigfeed-document-text")
    if text is None:
        text = current_app.extensions["rigfeed-document-text"] = json.dumps(document(current_app), ensure_ascii=False)
    return Response(text, content_type="application/json")


@blueprint.app_template_filter("coded")
def coded(text: str) -> Markup:
    """A text of the document with what stands between backticks set as code; all else is escaped."""
    pieces = re.split("`([^`]*)`", text)
    return Markup("").join(Markup("<code>{}</code>").format(p) if n % 2 else p for n, p in enumerate(pieces))


def _by_tag(made: dict[str, Any]) -> list[dict[str, Any]]:
    """The operations of each tag, as the page shows them."""
    shown = [
        {"method": method.upper(), "path": path, **item[method], "parameters": _parameters(item, item[method], made)}
        for path, item in made["paths"].items() for method in METHODS if method in item
    ]
    return [{**tag, "operations": [o for o in shown if o["tags"][0] == tag["name"]]} for tag in made["tags"]]


def _parameters(item: dict[str, Any], operation: dict[str, Any], made: dict[str, Any]) -> list[dict[str, Any]]:
    return [_followed(p, made) for p in [*item.get("parameters", []), *operation.get("parameters", [])]]


def _followed(item: dict[str, Any], made: dict[str, Any]) -> dict[str, Any]:
    """What a reference within the document stands for; anything else as it is."""
    while "$ref" in item:
        found: Any = made
        for key in item["$ref"].removeprefix("#/").split("/"):
            found = found[key]
        item = found
    return item
