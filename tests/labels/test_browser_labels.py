"""What a real browser makes of a label's SVG: its size on the screen, and where its ink is."""

import json
import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from handbook_builder.labels.layout import lay_out
from handbook_builder.labels.placed import Layout, Panel
from handbook_builder.labels.svg import svg
from tests.labels.samples import FACES, LABEL

pytestmark = pytest.mark.browser
CHROMIUM = os.environ.get("HANDBOOK_CHROMIUM") or shutil.which("chromium") or "chromium"
PX_PER_MM = 96 / 25.4  # CSS Values and Units: an inch is 96 px
SCRIPT = """<pre></pre><script>
const edges = (r) => [r.x, r.y, r.right, r.bottom];
const box = (one) => edges(one.getBoundingClientRect());
const root = document.querySelector("svg");
const boxes = [root, ...root.querySelectorAll("g")].map(box);
document.querySelector("pre").textContent = JSON.stringify(boxes);
</script>"""


def test_letters_are_where_the_layout_has_them(tmp_path: Path) -> None:
    """The drawing is as large as the panel, and a line of capitals as high as it was set."""
    layout = lay_out(LABEL.caution, Panel(80, 80), FACES)
    assert isinstance(layout, Layout)
    drawn = svg(layout, FACES, title="t", description="d")
    page = tmp_path / "label.html"
    page.write_text(f"<!doctype html><body style='margin:0'>{drawn}{SCRIPT}", "utf-8")
    command = [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--dump-dom", page.as_uri()]
    told = subprocess.run(command, check=True, capture_output=True, text=True, timeout=60).stdout
    boxes = re.search(r"<pre>(.*?)</pre>", told)
    assert boxes is not None
    whole, *lines = [[px / PX_PER_MM for px in box] for box in json.loads(boxes[1])]
    assert whole == pytest.approx([0, 0, 80, 80], abs=0.05)
    assert len(lines) == len(layout.runs)
    for (left, top, right, foot), run in zip(lines, layout.runs, strict=True):
        assert run.x_mm - 0.1 <= left <= right <= run.x_mm + run.width_mm + 0.1
        assert top < run.baseline_mm <= foot + 0.05
    warning = layout.runs[0]
    height = warning.size_mm * FACES[warning.font].capital
    assert lines[0][1] == pytest.approx(warning.baseline_mm - height, abs=0.1)
