"""One product from its first record to approved, in a studio begun with `handbook start`."""

import json
from pathlib import Path

from tests.endtoend.conftest import Run
from tests.records_in_text import AS_FILED, BASE, burn, whole_life, write

DAY = ("--as-of", "2026-05-01")


def _everything(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def _status(handbook: Run, studio: Path, ident: str = "fig") -> dict[str, object]:
    told = handbook("figures", "--json", *DAY, folder=studio)
    assert told.returncode == 0, told.stderr
    product: dict[str, object] = json.loads(told.stdout)["products"][ident]
    return product


def _recipe(candles: int) -> dict[str, str]:
    """Return the recipe as it counts so many test candles."""
    return {"recipes/fig.md": BASE["recipes/fig.md"].replace(AS_FILED, f"test_candles: {candles}")}


def _miscounted(handbook: Run, studio: Path, *, stated: int, filed: int) -> None:
    told = handbook("figures", "--json", *DAY, folder=studio)
    assert told.returncode == 1
    assert [one["code"] for one in json.loads(told.stdout)["faults"]] == ["candles_count"]
    assert (
        f"records/recipes/fig.md:9:1: found test_candles: {stated}, and on file: {filed}."
        in told.stderr
    )


def test_the_package_is_the_wheels(handbook: Run, installed: Path) -> None:
    """What is tested here is the installed wheel, with the templates inside it."""
    assert handbook("--version").stdout == "handbook, version 0.1.0\n"
    assert (installed / "handbook_builder" / "site_templates" / "words.yml").is_file()
    assert (installed / "handbook_builder" / "protocols" / "default.md").is_file()


def test_a_new_studio_checks_and_builds(handbook: Run, tmp_path: Path) -> None:
    """`start` in an empty folder: no fault, a handbook, and no product in it."""
    studio = tmp_path / "studio"
    started = handbook("start", str(studio))
    assert started.returncode == 0, started.stderr
    checked = handbook("check", folder=studio)
    assert (checked.returncode, checked.stderr) == (0, "")
    built = handbook("build", folder=studio)
    assert (built.returncode, built.stderr) == (0, "")
    assert (studio / "site" / "index.html").is_file()
    assert (studio / "site" / "guides" / "start-here.html").is_file()
    assert not list((studio / "site").glob("products/*"))
    again = handbook("start", str(studio))
    assert again.returncode == 2
    assert "not empty" in again.stderr


def test_from_first_record_to_approved(handbook: Run, tmp_path: Path) -> None:
    """Each step by hand, as a maker takes it; the status follows, and the index at last."""
    studio = tmp_path / "studio"
    handbook("start", str(studio))
    records = studio / "records"
    write(records, {path: text for path, text in BASE.items() if path != "studio.md"})
    assert _status(handbook, studio)["status"] == "untested"
    told = handbook("why", "fig", *DAY, folder=studio)
    assert told.returncode == 0
    assert "recipes/fig.md:2" in told.stdout

    burning = {f"burns/fig-{one}.md": burn(one.upper(), cycles=[], end="") for one in "abc"}
    write(records, {path: burning[path] for path in ("burns/fig-a.md", "burns/fig-b.md")})
    _miscounted(handbook, studio, stated=0, filed=2)
    write(records, _recipe(2))
    assert _status(handbook, studio)["status"] == "in_test"
    write(records, {**burning, **_recipe(3)})
    assert _status(handbook, studio)["status"] == "in_test"

    life = whole_life()
    write(records, {"burns/fig-a.md": burn("A", cycles=life[:2], end="")})
    assert _status(handbook, studio)["burning"] == ["fig-a", "fig-b", "fig-c"]
    write(records, {f"burns/fig-{one}.md": burn(one.upper()) for one in "ab"})
    assert _status(handbook, studio)["status"] == "in_test"
    assert _status(handbook, studio)["passed"] == ["fig-a", "fig-b"]

    built = handbook("build", *DAY, folder=studio)
    assert (built.returncode, built.stderr) == (0, "")
    index = studio / "site" / "approved" / "index.html"
    assert "products/fig.html" not in index.read_text("utf-8")

    # All three passed, but the recipe counts one more: a candle that went missing is noticed.
    write(records, {"burns/fig-c.md": burn("C"), **_recipe(4)})
    before = _everything(studio / "site")
    _miscounted(handbook, studio, stated=4, filed=3)
    assert handbook("build", *DAY, folder=studio).returncode == 1
    assert _everything(studio / "site") == before
    write(records, _recipe(3))
    assert _status(handbook, studio)["status"] == "approved"
    assert handbook("build", *DAY, folder=studio).returncode == 0
    assert "products/fig.html" in index.read_text("utf-8")


def test_a_broken_record_publishes_nothing(handbook: Run, tmp_path: Path) -> None:
    """Exit status 1, file, line and column told, and the former site the same to the byte."""
    studio = tmp_path / "studio"
    handbook("start", str(studio))
    records = studio / "records"
    write(records, {path: text for path, text in BASE.items() if path != "studio.md"})
    assert handbook("build", *DAY, folder=studio).returncode == 0
    before = _everything(studio / "site")
    beside = sorted(path.name for path in studio.iterdir())

    write(records, {"recipes/fig.md": BASE["recipes/fig.md"].replace("108 g", "108")})
    for verb in (("build", *DAY), ("check",), ("why", *DAY), ("figures", *DAY)):
        told = handbook(*verb, folder=studio)
        assert told.returncode == 1, verb
        assert (
            "records/recipes/fig.md:8:7: found '108' without a unit; expected a mass, "
            "for example '412.6 g'.\n" in told.stderr
        ), verb
    assert _everything(studio / "site") == before
    assert sorted(path.name for path in studio.iterdir()) == beside


def test_problems_as_json(handbook: Run, tmp_path: Path) -> None:
    """A program can read what `check` found."""
    write(tmp_path / "records", {**BASE, "recipes/fig.md": BASE["recipes/fig.md"] + "\0"})
    write(tmp_path / "records", {"waxes/soy.md": "---\n---\n"})
    told = handbook("check", "--json")
    assert told.returncode == 1
    found = json.loads(told.stdout)
    assert [(one["file"], one["line"], one["column"], one["code"]) for one in found["faults"]] == [
        ("records/waxes/soy.md", 2, 1, "not_a_map")
    ]


def test_wrong_calls(handbook: Run, tmp_path: Path) -> None:
    """A wrong call is told apart from a wrong record: exit status 2."""
    write(tmp_path / "records", dict(BASE))
    assert handbook("build", "--as-of", "yesterday").returncode == 2
    assert handbook("pour-me-one").returncode == 2
    assert handbook("check", "--studio", "nowhere").returncode == 2
    unknown = handbook("why", "figs", *DAY)
    assert unknown.returncode == 2
    assert "Did you mean fig?" in unknown.stderr


def test_a_studio_without_settings(handbook: Run, tmp_path: Path) -> None:
    """A folder that holds records/ is enough; no mkdocs.yml is needed."""
    write(tmp_path / "mine" / "records", dict(BASE))
    told = handbook("build", "--studio", "mine", *DAY)
    assert (told.returncode, told.stderr) == (0, "")
    assert (tmp_path / "mine" / "site" / "products" / "fig.html").is_file()
