"""The drawings as a browser renders them: the texts are where the scene says, and cover nothing there either."""

from __future__ import annotations

import pytest
from tests.kit.drawing.chromium import farthest_apart_mm, rendered
from tests.kit.drawing.generated import generated
from tests.kit.drawing.geometry import covered, outside, texts_of

import rigfeed

AGREE_MM = 1.0


@pytest.fixture(scope="module")
def assessments():
    """The demonstration designs and one with 60 conductors."""
    return [*(rigfeed.assess_file(rigfeed.example(name)) for name in ("hazel", "larch", "alder")),
            rigfeed.assess(generated(60, 1))]


@pytest.mark.slow
@pytest.mark.parametrize("stretched", [False, True])
@pytest.mark.parametrize("kind", ["circuit", "routes"])
def test_a_browser_shows_the_texts_where_the_scene_has_them(kind, stretched, assessments, tool, tmp_path):
    scenes = [assessment.drawing(kind) for assessment in assessments]
    for scene, shown in zip(scenes, rendered(tool("chromium"), tmp_path, scenes, stretched=stretched), strict=True):
        assert len(shown) > 20
        apart_mm, text = farthest_apart_mm(texts_of(scene), shown)
        assert apart_mm < AGREE_MM, text
        assert covered(scene, shown) == []
        assert outside(scene, shown) == []
