"""Whether the server is there."""

from __future__ import annotations

from importlib.metadata import version
from typing import Any

from marshmallow import Schema, fields

from rigfeed_api.blueprint import Blueprint

blueprint = Blueprint("health", __name__, url_prefix="/v1/health", description="Whether the server is there.")


class HealthSchema(Schema):
    """A sign of life."""

    status = fields.String(required=True)
    version = fields.String(required=True)


@blueprint.route("", methods=["GET"])
@blueprint.response(200, HealthSchema)
@blueprint.doc(operationId="health")
def health() -> dict[str, Any]:
    """Say that the server is there, and which version it is."""
    return {"status": "ok", "version": version("rigfeed")}
