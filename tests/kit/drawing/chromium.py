"""What a browser makes of an SVG: the box of every text as it was rendered."""

from __future__ import annotations

import html
import json
import re
import subprocess
from collections.abc import Sequence
from pathlib import Path

from tests.kit.drawing.geometry import Text, texts_of

from rigfeed.drawing.places import Box
from rigfeed.drawing.scene import Scene
from rigfeed.drawing.svg import svg_text

QUIET = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
    "--disable-background-networking", "--disable-component-update",
)
# `textLength` makes a viewer without the fonts keep the layout; without it the widths are those of the font
MEASURE = """
const found = [...document.querySelectorAll("svg")].map(svg => {
  const page = svg.getBoundingClientRect(), scale = svg.viewBox.baseVal.width / page.width;
  const mm = box => [
    (box.left - page.left) * scale, (box.top - page.top) * scale,
    (box.right - page.left) * scale, (box.bottom - page.top) * scale
  ];
  const texts = [...svg.querySelectorAll("text")];
  const set = texts.map(text => mm(text.getBoundingClientRect()));
  texts.forEach(text => text.removeAttribute("textLength"));
  return texts.map((text, i) => ({text: text.textContent, set: set[i], own: mm(text.getBoundingClientRect())}));
});
document.getElementById("found").textContent = JSON.stringify(found);
"""


def rendered(program: str, folder: Path, scenes: Sequence[Scene], *, stretched: bool = False) -> list[list[Text]]:
    """The texts of each scene with the boxes that the browser reports, in the order of the scene.

    They are as wide as the font makes them; `stretched` to the length that the file asks for if told so.
    """
    drawings = "\n".join(re.sub(r"^<\?xml[^>]*>", "", svg_text(scene)) for scene in scenes)
    page = folder / "page.html"
    page.write_text(
        f'<!doctype html><meta charset="utf-8"><body>{drawings}<pre id="found"></pre><script>{MEASURE}</script>',
        encoding="utf-8",
    )
    command = [program, *QUIET, f"--user-data-dir={folder / 'profile'}", "--dump-dom", page.as_uri()]
    done = subprocess.run(command, capture_output=True, text=True, encoding="utf-8", timeout=120, check=True)
    match = re.search(r'<pre id="found">(.*?)</pre>', done.stdout, re.DOTALL)
    assert match, done.stdout[-2000:] + done.stderr[-2000:]
    found = json.loads(html.unescape(match[1]))
    return [_paired(scene, boxes, "set" if stretched else "own") for scene, boxes in zip(scenes, found, strict=True)]


def _paired(scene: Scene, boxes: Sequence[dict[str, object]], which: str) -> list[Text]:
    computed = texts_of(scene)
    assert [text.text for text in computed] == [box["text"] for box in boxes]
    return [
        Text(text.text, Box(*box[which]), text.chain)  # type: ignore[misc]
        for text, box in zip(computed, boxes, strict=True)
    ]


def farthest_apart_mm(computed: Sequence[Text], shown: Sequence[Text]) -> tuple[float, str]:
    """The largest distance between sides of boxes of the same text, and that text."""
    return max(
        (abs(getattr(one.box, side) - getattr(other.box, side)), one.text)
        for one, other in zip(computed, shown, strict=True) for side in ("left", "top", "right", "bottom")
    )
