"""What designs are held against: practices, checks, and the plugins that bring them."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import PurePath
from typing import Any

from marshmallow import Schema, fields

from rigfeed.checks.check import Check
from rigfeed.errors import RigfeedError
from rigfeed.practice import Practice, Setting
from rigfeed_api.blueprint import Blueprint, refuses
from rigfeed_api.engine import engine
from rigfeed_api.problems import Problem
from rigfeed_api.shapes import texts

blueprint = Blueprint(
    "rules", __name__, url_prefix="/v1",
    description="What designs are held against: practices with their authorities, checks, and who brings them.",
)


class ThresholdSchema(Schema):
    """A figure that a check compares with; its value stands in a practice."""

    key = fields.String(required=True)
    unit = fields.String(required=True)
    meaning = fields.String(required=True)


class FactSchema(Schema):
    """A question that only an eye can answer."""

    name = fields.String(required=True)
    about = fields.String(required=True)
    question = fields.String(required=True)


class CheckSchema(Schema):
    """A check."""

    name = fields.String(required=True)
    group = fields.String(required=True)
    severity = fields.String(required=True)
    authority = fields.String(required=True)
    thresholds = fields.List(fields.Nested(ThresholdSchema), required=True)
    facts = fields.List(fields.Nested(FactSchema), required=True)


class ChecksSchema(Schema):
    """All checks."""

    checks = fields.List(fields.Nested(CheckSchema), required=True)


class PracticeItemSchema(Schema):
    """A practice in the list."""

    name = fields.String(required=True)
    title = fields.String(required=True)
    extends = texts("the practices that it builds on, the nearest first")
    thresholds = fields.Integer(required=True, metadata={"description": "how many it has, inherited ones included"})


class PracticesSchema(Schema):
    """All practices."""

    practices = fields.List(fields.Nested(PracticeItemSchema), required=True)
    left_out = texts("those that are broken, and why")


class SettingSchema(Schema):
    """A figure of a practice."""

    value = fields.String(required=True)
    meaning = fields.String(required=True)
    authority = fields.String(required=True)
    where = fields.String(required=True, metadata={"description": "the file that it stands in"})


class KeyedSchema(Schema):
    """A state that a practice supplies where a design has none."""

    title = fields.String(required=True)
    engine = fields.String(required=True)
    air = fields.String(required=True)
    modes = texts()


class PracticeSchema(Schema):
    """A practice in full, what it inherits included."""

    name = fields.String(required=True)
    title = fields.String(required=True)
    extends = texts()
    thresholds = fields.Dict(keys=fields.String(), values=fields.Nested(SettingSchema), required=True)
    defaults = fields.Dict(keys=fields.String(), values=fields.Nested(SettingSchema), required=True)
    severities = fields.Dict(keys=fields.String(), values=fields.String(), required=True)
    states = fields.Dict(keys=fields.String(), values=fields.Nested(KeyedSchema), required=True)


class PluginSchema(Schema):
    """A plugin, and what it adds."""

    name = fields.String(required=True)
    version = fields.String(required=True)
    on = fields.Boolean(required=True)
    why = fields.String(required=True, metadata={"description": "why it is off, if it is"})
    adds = fields.Dict(keys=fields.String(), values=fields.List(fields.String()), required=True)
    troubles = texts("declarations of it that were left out")


class PluginsSchema(Schema):
    """All plugins."""

    plugins = fields.List(fields.Nested(PluginSchema), required=True)


@blueprint.route("/checks", methods=["GET"])
@blueprint.response(200, ChecksSchema)
@blueprint.doc(operationId="listChecks")
def checks() -> dict[str, Any]:
    """List the checks of all plugins, with the figures they compare with and the questions they ask."""
    return {"checks": [check for _, check in sorted(engine().registry.checks.items())]}


@blueprint.route("/checks/<check>", methods=["GET"])
@blueprint.response(200, CheckSchema)
@blueprint.doc(operationId="readCheck")
@refuses(404)
def check(check: str) -> Check:
    """Describe one check."""
    known = engine().registry.checks
    if check not in known:
        raise Problem(404, f"there is no check {check[:60]!r}; /v1/checks lists them")
    return known[check]


@blueprint.route("/practices", methods=["GET"])
@blueprint.response(200, PracticesSchema)
@blueprint.doc(operationId="listPractices")
def practices() -> dict[str, Any]:
    """List the practices."""
    known = engine().registry.practices
    found, broken = [], list(known.troubles)
    for name in known.names():
        try:
            found.append(known.get(name))
        except RigfeedError as error:
            broken.append(error)
    listed = [{**_head(practice), "thresholds": len(practice.thresholds)} for practice in found]
    return {"practices": listed, "left_out": [error.what for error in broken]}


@blueprint.route("/practices/<practice>", methods=["GET"])
@blueprint.response(200, PracticeSchema)
@blueprint.doc(operationId="readPractice")
@refuses(404)
def practice(practice: str) -> dict[str, Any]:
    """Read one practice: every figure with its meaning and its authority."""
    known = engine().registry.practices
    if practice not in known.names():
        raise Problem(404, f"there is no practice {practice[:60]!r}; /v1/practices lists them")
    found = known.get(practice)
    return {
        **_head(found),
        "thresholds": {key: _setting(setting) for key, setting in sorted(found.thresholds.items())},
        "defaults": {key: _setting(setting) for key, setting in sorted(found.defaults.items())},
        "severities": dict(sorted(found.severities.items())),
        "states": {key: asdict(state) for key, state in sorted(found.states.items())},
    }


@blueprint.route("/plugins", methods=["GET"])
@blueprint.response(200, PluginsSchema)
@blueprint.doc(operationId="listPlugins")
def plugins() -> dict[str, Any]:
    """List the plugins: version, whether it is on and why not, what it adds."""
    registry = engine().registry
    return {"plugins": [
        {
            "name": info.name, "version": info.version, "on": not info.off, "why": info.off,
            "adds": {hook.removeprefix("register_"): list(names) for hook, names in info.adds.items()},
            "troubles": [t.what for t in registry.troubles if t.plugin == info.name and not info.off],
        }
        for info in registry.plugins
    ]}


def _head(practice: Practice) -> dict[str, Any]:
    return {"name": practice.name, "title": practice.title, "extends": list(practice.lineage[1:])}


def _setting(setting: Setting) -> dict[str, str]:
    where = PurePath(setting.where).name
    return {"value": setting.value, "meaning": setting.meaning, "authority": setting.authority, "where": where}
