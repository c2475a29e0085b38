"""A guide bears its edition in the finished site, the same in both editions of the handbook."""

import re
from pathlib import Path

from click.testing import CliRunner

from handbook_builder.cli import main
from handbook_builder.workshop import guides_for
from tests.records_in_text import proven, write


def _editions(site: Path) -> dict[str, str]:
    """Return the edition that each guide of a site bears, by its name."""
    found = {}
    for file in (site / "guides").glob("*.html"):
        told = re.search(r"Edition ([0-9A-F]{6})\.", file.read_text("utf-8"))
        if told:
            found[file.stem] = told[1]
    return found


def test_every_guide_bears_its_edition(tmp_path: Path) -> None:
    """One that names a supplier is shown without the name, and is of the same edition."""
    write(tmp_path / "records", proven())
    guides = tmp_path / "site_templates" / "guides" / "guides"
    guides.mkdir(parents=True)
    (guides / "our-jars.md").write_text("# Our jars\n\nThey come from Jar House.\n", "utf-8")
    call = ["build", "--studio", str(tmp_path), "--as-of", "2026-05-01"]
    result = CliRunner().invoke(main, call)
    assert result.exit_code == 0, result.output
    owner, floor = _editions(tmp_path / "site"), _editions(tmp_path / "site-floor")
    assert owner == floor == dict(guides_for(tmp_path))
    assert "Jar House" in (tmp_path / "site" / "guides" / "our-jars.html").read_text("utf-8")
    shown = (tmp_path / "site-floor" / "guides" / "our-jars.html").read_text("utf-8")
    assert "Jar House" not in shown
