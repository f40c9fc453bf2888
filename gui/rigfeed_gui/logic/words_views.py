"""The words of views and dialogs. Keys begin with the name of the view: ``start.``, ``surface.``, ``form.``."""

from __future__ import annotations

from collections.abc import Mapping

VIEWS: Mapping[str, str] = {}
