"""A studio's own pages and settings: linked, in its own order, and what has no effect is said."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from handbook_builder.publish.config_file import (
    NAMES,
    ConfigFileError,
    config_file,
    passed_over,
    read_config,
)
from handbook_builder.publish.unused import INSTEAD, unused_keys
from tests.bench.calls import called, studio_of
from tests.records_in_text import BASE, proven

BILL = """---
supplier: jar-house
on: 2026-01-10
lines:
  - {item: waxes/soy, quantity: 10 kg, price: 61.37, lot: W-1}
---
"""
SETTINGS = """site_name: Own pages
docs_dir: docs
theme:
  name: material
  custom_dir: over
  features: [navigation.instant, content.code.copy]
nav:
  - Our workshop: workshop.md
  - Notes & <tales>:
      - notes/kiln.md
  - The harbour: https://harbour.example/
not_in_nav: |
  /hidden.md
repo_url: https://code.example/x
plugins:
  - search
  - handbook:
      as_of: 2026-05-01
"""
PAGES = {
    "workshop.md": "# Workshop\n",
    "notes/kiln.md": "# The kiln\n",
    "notes/left.md": "---\ntitle: What Jar House asks, 61.37 EUR\n---\n# Left\n",
    "hidden.md": "# Hidden\n",
    "index.md": "# A first page\n",
}


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """Return a studio with pages of its own, built in both editions, and what the build said."""
    files = {**proven(), "suppliers/jar-house.md": "---\nkind: general\n---\n# Jar House\n",
             "purchases/one.md": BILL}  # fmt: skip
    studio = studio_of(tmp_path_factory.mktemp("own"), {**BASE, **files})
    (studio / "properdocs.yml").write_text(SETTINGS, "utf-8")
    (studio / "over").mkdir()
    for name, text in PAGES.items():
        (studio / "docs" / name).parent.mkdir(parents=True, exist_ok=True)
        (studio / "docs" / name).write_text(text, "utf-8")
    guides = studio / "site_templates" / "guides" / "guides"
    guides.mkdir(parents=True)
    (guides / "glaze.md").write_text("# Glazes\n", "utf-8")
    done = called(studio, "build")
    assert done.exit_code == 0, done.output
    return studio, done.stderr


@pytest.mark.deep
def test_own_pages_are_listed_below_the_guides(built: tuple[Path, str]) -> None:
    """In the order and the sections of `nav`, then what it left out and did not hide."""
    page = (built[0] / "site" / "guides" / "index.html").read_text("utf-8")
    (told,) = re.findall(r'<h2 id="own-pages">.*?</ul>\n', page, re.DOTALL)
    assert re.findall(r">([^<>\n]+)<", told) == [
        "Pages of this studio", "Our workshop", "Notes &amp; &lt;tales&gt;", "The kiln",
        "The harbour", "What Jar House asks, 61.37 EUR", "Glazes",
    ]  # fmt: skip
    own = [one for one in re.findall(r'href="([^"]+)"', told) if "harbour" not in one]
    assert len(own) == 4
    for address in own:
        assert (built[0] / "site" / "guides" / address).is_file()


@pytest.mark.deep
def test_the_floor_edition_lists_them_without_names_and_sums(built: tuple[Path, str]) -> None:
    """A title is cleaned like any other line of a hand."""
    page = (built[0] / "site-floor" / "guides" / "index.html").read_text("utf-8")
    assert "The kiln" in page
    assert "61.37" not in page
    assert "Jar House" not in page


@pytest.mark.deep
def test_the_build_says_once_what_has_no_effect(built: tuple[Path, str]) -> None:
    """Each key by its place, the page that is covered, and `nav`, which has one, not at all."""
    said = built[1]
    places = re.findall(r"^properdocs\.yml:([0-9]+:[0-9]+): warning: '([^']+)'", said, re.MULTILINE)
    assert places == [
        ("5:3", "theme.custom_dir"), ("6:14", "theme.features.navigation.instant"),
        ("14:1", "repo_url"),
    ]  # fmt: skip
    assert said.count("index.md: a page of the handbook has the address of this one.") == 1


@pytest.mark.deep
def test_instant_loading_asks_for_no_site_map(built: tuple[Path, str]) -> None:
    """It would fetch a file that a private site has not."""
    page = (built[0] / "site" / "workshop.html").read_text("utf-8")
    assert "content.code.copy" in page
    assert "navigation.instant" not in page


@pytest.mark.deep
def test_a_studio_without_own_pages_has_no_list(tmp_path: Path) -> None:
    """The guides end as they are shipped; and a bare studio's settings have nothing to say."""
    studio = studio_of(tmp_path, proven())
    done = called(studio, "build", "--edition", "owner", "--as-of", "2026-05-01")
    assert (done.exit_code, done.stderr) == (0, "")
    page = (studio / "site" / "guides" / "index.html").read_text("utf-8")
    assert "own-pages" not in page


@pytest.mark.deep
def test_the_continuation_builds_by_its_own_file(built: tuple[Path, str], tmp_path: Path) -> None:
    """The same settings, read by the program that the file is named for."""
    words = [sys.executable, "-m", "properdocs", "build", "-q", "-d", str(tmp_path / "site")]
    env = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    subprocess.run(words, cwd=built[0], env=env, check=True, capture_output=True)
    assert "own-pages" in (tmp_path / "site" / "guides" / "index.html").read_text("utf-8")


@pytest.mark.parametrize("name", NAMES)
def test_each_name_is_read(name: str, tmp_path: Path) -> None:
    """The day and the folder of the records hold for the commands that only read."""
    studio = studio_of(tmp_path, proven())
    (studio / "records").rename(studio / "data")
    settings = "plugins: [handbook: {records: data, as_of: 2026-03-02}]\n"
    (studio / name).write_text(settings, "utf-8")
    assert called(studio, "why").stdout.startswith("As of 2026-03-02.")
    assert config_file(studio) == studio / name


def test_of_two_files_one_is_read_and_that_is_said(tmp_path: Path) -> None:
    """MkDocs' own name comes first; `check` warns, and is well all the same."""
    studio = studio_of(tmp_path, proven())
    for name, day in (("mkdocs.yml", "2026-03-02"), ("properdocs.yml", "2026-03-03")):
        (studio / name).write_text(f"plugins: [handbook: {{as_of: {day}}}]\n", "utf-8")
    assert passed_over(studio) == ("properdocs.yml",)
    assert called(studio, "why").stdout.startswith("As of 2026-03-02.")
    told = called(studio, "check")
    assert told.exit_code == 0
    assert "properdocs.yml:1:1: warning: it is not read: mkdocs.yml stands beside it" in told.stdout


def test_what_is_inherited_and_what_the_surroundings_say(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Keys within keys come together, a list is replaced; a variable, else the last word."""
    (tmp_path / "base.yml").write_text(
        "site_url: https://a.example\nextra: {a: 1, b: 2}\nplugins: [search]\n", "utf-8"
    )
    file = tmp_path / "mkdocs.yml"
    file.write_text(
        "INHERIT: base.yml\nextra: {b: 3}\nplugins:\n  - handbook:\n"
        '      as_of: !ENV [HB_ONE, HB_TWO, "2026-03-01"]\n      records: !ENV HB_RECORDS\n',
        "utf-8",
    )
    for name in ("HB_ONE", "HB_TWO", "HB_RECORDS"):
        monkeypatch.delenv(name, raising=False)
    found = read_config(file)
    assert found["site_url"] == "https://a.example"
    assert found["extra"] == {"a": "1", "b": "3"}
    assert found["plugins"] == [{"handbook": {"as_of": "2026-03-01", "records": ""}}]
    monkeypatch.setenv("HB_TWO", "2026-04-01")
    monkeypatch.setenv("HB_RECORDS", "data")
    found = read_config(file)
    assert found["plugins"] == [{"handbook": {"as_of": "2026-04-01", "records": "data"}}]


@pytest.mark.parametrize(
    "text", ["INHERIT: nowhere.yml\n", "INHERIT: mkdocs.yml\n", "plugins: [", "\x00"]
)
def test_a_settings_file_that_cannot_be_read(text: str, tmp_path: Path) -> None:
    """It is named, and every command that needs it is a wrong call."""
    studio = studio_of(tmp_path, proven())
    (studio / "mkdocs.yml").write_text(text, "utf-8")
    with pytest.raises(ConfigFileError, match=r"mkdocs\.yml"):
        read_config(studio / "mkdocs.yml")
    done = called(studio, "why")
    assert done.exit_code == 2
    assert "mkdocs.yml" in done.stderr
    assert unused_keys(studio / "mkdocs.yml") == ()


def test_each_key_without_effect_has_what_to_do_instead(tmp_path: Path) -> None:
    """All of them at once, each with its sentence; what says no asks for nothing."""
    features = "navigation.tabs, header.autohide, search.suggest, toc.follow, content.tooltips"
    lines = ["theme:", "  name: readthedocs", f"  features: [{features}]"]
    lines += [f"  {key.partition('.')[2]}: x" for key in INSTEAD
              if key.startswith("theme.") and "features" not in key]  # fmt: skip
    lines += ["extra:"]
    lines += [f"  {key.partition('.')[2]}: x" for key in INSTEAD if key.startswith("extra.")]
    lines += [f"{key}: x" for key in INSTEAD if "." not in key]
    file = tmp_path / "mkdocs.yml"
    file.write_text("\n".join(lines), "utf-8")
    told = unused_keys(file)
    named = {one.message.split("'")[1] for one in told}
    due = {key for key in INSTEAD if not key.endswith(".")}
    due |= {f"theme.features.{one}" for one in ("navigation.tabs", "header.autohide",
                                                "search.suggest", "toc.follow")}  # fmt: skip
    assert named == due | {"readthedocs"}
    assert len({(one.place.line, one.place.column) for one in told}) == len(told)
    file.write_text("use_directory_urls: false\ntheme: {font: false, name: material}\n", "utf-8")
    assert unused_keys(file) == ()
