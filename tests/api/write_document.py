"""Write the OpenAPI document to api/openapi.json: ``python -m tests.api.write_document``, after a change."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path

from rigfeed_api.app import create_app
from rigfeed_api.document import interface
from rigfeed_api.settings import Settings

FILE = Path(__file__).parents[2] / "api" / "openapi.json"


def made() -> str:
    """The document of this checkout as it is kept."""
    with tempfile.TemporaryDirectory() as folder:
        app = create_app(Settings(Path(folder)))
        try:
            return json.dumps(interface(app), ensure_ascii=False, indent=1) + "\n"
        finally:
            app.extensions["rigfeed-database"].close()


if __name__ == "__main__":
    FILE.write_text(made(), encoding="utf-8")
