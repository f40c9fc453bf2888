"""The OpenAPI document is valid, the kept copy is it, its links lead somewhere, and the page shows all of it."""

from __future__ import annotations

import json
import re

import pytest
from openapi_spec_validator import OpenAPIV31SpecValidator
from tests.api.write_document import FILE, made

from rigfeed.cautions import CAUTIONS
from rigfeed_api.document import LINKS, METHODS


@pytest.fixture
def document(client):
    return client.get("/openapi.json").json


def operations(document):
    return [(path, method, item[method]) for path, item in document["paths"].items() for method in METHODS
            if method in item]


def test_the_document_is_valid(document):
    assert document["openapi"] == "3.1.0"
    assert list(OpenAPIV31SpecValidator(document).iter_errors()) == []


def test_the_kept_copy_is_what_is_served():
    told = "the interface has changed; if that is meant: python -m tests.api.write_document"
    assert FILE.read_text(encoding="utf-8") == made(), told


def test_every_operation_has_a_name_a_sentence_and_its_problems(document):
    found = operations(document)
    names = [operation.get("operationId") for _, _, operation in found]
    assert None not in names
    assert len(set(names)) == len(names)
    for path, method, operation in found:
        assert operation["summary"].endswith("."), (path, method)
        assert {"406", "429"} <= set(operation["responses"]), (path, method)
        if path != "/v1/health":
            assert operation["security"] == [{"token": []}], (path, method)
            assert {"401", "403"} <= set(operation["responses"]), (path, method)
        if "requestBody" in operation:
            assert {"400", "413", "415", "422"} <= set(operation["responses"]), (path, method)


def test_every_link_leads_from_an_operation_to_another(document):
    names = {operation["operationId"] for _, _, operation in operations(document)}
    for source, (_, targets) in LINKS.items():
        assert source in names
        assert set(targets) <= names


def test_the_cautions_stand_in_the_document(document):
    assert all(caution in document["info"]["description"] for caution in CAUTIONS)


def test_the_schema_of_a_design_takes_the_demonstrations(document, hazel_plain):
    from jsonschema import Draft202012Validator

    schema = {"$ref": "#/components/schemas/Design", "components": document["components"]}
    validator = Draft202012Validator(schema)
    assert list(validator.iter_errors(hazel_plain)) == []
    wrong = {**hazel_plain, "vehicle": {"system_voltage": "9 V"}, "nodes": {"1st": {}}, "zones": {"a": {"warm": "1"}}}
    paths = {"/".join(map(str, error.absolute_path)) for error in validator.iter_errors(wrong)}
    assert paths == {"vehicle/system_voltage", "nodes", "zones/a"}


def test_the_page_shows_every_operation_and_every_shape_and_no_address_of_anybody_else(client, document):
    answer = client.get("/")
    assert answer.content_type == "text/html; charset=utf-8"
    text = answer.text
    for path, method, operation in operations(document):
        assert f'<article id="{operation["operationId"]}">' in text, (path, method)
        assert f"<b>{method.upper()}</b> {path}" in text
    for name in document["components"]["schemas"]:
        assert f'id="schema-{name}"' in text
    anchors = set(re.findall(r'id="([^"]+)"', text))
    assert set(re.findall(r'href="#([^"]+)"', text)) <= anchors
    assert "<script" not in text
    assert re.findall(r"(?:href|src)=\"(?:https?:)?//", text) == []
    assert "script-src" not in answer.headers["Content-Security-Policy"]
    assert answer.headers["Content-Security-Policy"].startswith("default-src 'none'")
    with client.get(re.search(r'href="([^"]+\.css)"', text)[1]) as style:
        assert style.content_type.startswith("text/css")
        assert "url(" not in style.text
        assert "@import" not in style.text


def test_the_document_is_plain_json(document):
    assert json.loads(json.dumps(document)) == document
