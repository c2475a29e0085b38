"""`handbook label` and `handbook sticker`: what they write, and above all what they do not."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Final

import pytest
from click.testing import Result

from handbook_builder.derived.label.made import stickers_of
from handbook_builder.labels.placed import Panel
from handbook_builder.verdicts.approval import Status
from tests.bench.calls import called, spaced, studio_of
from tests.label.kit import NAMED, SENSITISING, UNKNOWN, desk_of, shipped, studio
from tests.label.test_refused import INCIDENT, NOT_APPROVED, _batch
from tests.labels.measured import measured, opened, page_mm
from tests.records_in_text import burn, whole_life

ROOT: Final = Path(__file__).parents[2]
TODAY: Final = "2026-05-01"
Call = Callable[..., Result]


def _call(folder: Path, files: dict[str, str], *words: str, today: str = TODAY) -> Result:
    """Run a command in a studio of texts whose own day is fixed."""
    written = studio_of(folder, files)
    settings = f"site_name: Test\nplugins:\n  - handbook:\n      as_of: {today}\n"
    (written / "mkdocs.yml").write_text(settings, "utf-8")
    return called(written, *words)


def _label(folder: Path, files: dict[str, str], *words: str, today: str = TODAY) -> Result:
    out = str(folder / "label.pdf")
    return _call(folder, files, "label", "fig", "--out", out, *words, today=today)


def _pdfs(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.rglob("*") if path.suffix in {".pdf", ".part"})


def test_it_writes_the_label(tmp_path: Path) -> None:
    """One page a face, as large as its panel; and it says what it wrote, and what it is."""
    done = _label(tmp_path, studio())
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout == (
        f"Written: {tmp_path / 'label.pdf'} (1 of each face, for the European Union)\n"
        "A working aid, and no legal advice. Compare it with the law in force and with the "
        "supplier's sheet before you print, and check each pictogram with the specimen that your "
        "law prints.\n"
    )
    pages = opened((tmp_path / "label.pdf").read_bytes())
    assert [page_mm(page) for page in pages] == [
        pytest.approx(size, abs=0.05) for size in ((70.0, 45.0), (140.0, 90.0))
    ]


def test_it_is_named_for_the_recipe(tmp_path: Path) -> None:
    """And lies where the maker is: the call is made from within the studio."""
    done = _call(tmp_path / "studio", studio(), "label", "Fig", "--market", "us")
    assert done.exit_code == 0
    assert _pdfs(tmp_path / "studio") == ["fig-label.pdf"]


@pytest.mark.parametrize("options", [(), ("--sheet", "a4", "--count", "3"), ("--market", "us")])
@pytest.mark.parametrize("status", NOT_APPROVED, ids=str)
def test_what_is_not_approved_leaves_no_file(
    status: Status, options: tuple[str, ...], tmp_path: Path
) -> None:
    """Neither a new one nor half of one; a label of yesterday that lies there is not touched."""
    files = {**studio(), **NOT_APPROVED[status]}
    done = _label(tmp_path, files, *options)
    market = "the United States" if "us" in options else "the European Union"
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith(f"There is no label for {market}:\nIt is not approved (")
    assert _pdfs(tmp_path) == []
    (tmp_path / "label.pdf").write_bytes(b"of yesterday")
    assert _label(tmp_path, files, *options).exit_code == 2
    assert (tmp_path / "label.pdf").read_bytes() == b"of yesterday"


def test_what_is_no_longer_approved_gets_none_as_of_a_day_when_it_was(tmp_path: Path) -> None:
    """A label is stuck on today's candle, whatever day is asked about."""
    files = {**studio(), **NOT_APPROVED[Status.SUSPENDED]}
    done = _label(tmp_path, files, "--as-of", "2026-04-19")
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.splitlines()[:2] == [
        (
            "As of 2026-04-19, which is past, a label is asked for. As of 2026-05-01 there is none "
            "for the European Union:"
        ),
        (
            "It is not approved (suspended). Only an approved product gets a label; a test candle "
            "gets a sticker."
        ),
    ]
    assert _pdfs(tmp_path) == []
    # As of the very day of the studio, and of a day to come, the account itself says so.
    for day in ("2026-05-01", "2026-06-01"):
        done = _label(tmp_path, files, "--as-of", day)
        assert done.stderr.startswith("There is no label for the European Union:\nIt is not")
    assert _label(tmp_path / "well", studio(), "--as-of", "2026-04-19").exit_code == 0


def test_what_was_not_approved_yet_gets_none_as_of_then(tmp_path: Path) -> None:
    """As the handbook of that day would say."""
    done = _label(tmp_path, studio(), "--as-of", "2026-03-18")
    assert done.exit_code == 2
    assert "It is not approved (in test)." in done.stderr
    assert _pdfs(tmp_path) == []


def test_with_records_at_fault_there_is_none(tmp_path: Path) -> None:
    """Any fault in any record approves nothing."""
    done = _label(tmp_path, studio() | {"waxes/moss.md": "---\nkind: soy\n---\n"})
    assert done.exit_code == 1
    assert "waxes/moss.md" in done.stderr
    assert _pdfs(tmp_path) == []


def test_what_is_missing_is_told_by_name(tmp_path: Path) -> None:
    """An incomplete composition on stderr, and no file."""
    done = _label(tmp_path, studio(UNKNOWN))
    assert done.exit_code == 2
    assert "nobody can say that it has none: the hazards of tea absolute" in done.stderr
    assert _pdfs(tmp_path) == []


def test_a_batch_is_named_by_its_id_alone(tmp_path: Path) -> None:
    """With its folder or without; the name of a lot or of an item is no batch."""
    files = studio() | {"batches/spring.md": _batch()}
    for name in ("spring", "batches/spring", " Spring"):
        assert _label(tmp_path, files, "--batch", name).exit_code == 0
    text = opened((tmp_path / "label.pdf").read_bytes())[1].extract_text()
    assert "Batch spring" in text
    for name in ("waxes/soy", "soy", "sprig", "recipes/spring"):
        done = _label(tmp_path, files, "--batch", name)
        assert (done.exit_code, done.stdout) == (2, "")
        assert done.stderr.startswith(f"No batch is called '{name}'.")
    assert "Did you mean spring?" in _label(tmp_path, files, "--batch", "sprig").stderr


def test_a_suspended_batch_leaves_no_file(tmp_path: Path) -> None:
    """Its incident suspends the product as well, and both are told."""
    about = INCIDENT.replace("recipes/fig", "batches/spring")
    files = studio() | {"batches/spring.md": _batch(), "incidents/one.md": about}
    done = _label(tmp_path, files, "--batch", "spring")
    assert done.exit_code == 2
    assert "Batch spring: suspended. " in done.stderr
    assert _pdfs(tmp_path) == []


def test_so_many_labels_on_sheets(tmp_path: Path) -> None:
    """24 fronts, and 24 cautions, on pages of A4."""
    done = _label(tmp_path, studio(), "--count", "24", "--sheet", "a4", "--market", "gb")
    assert done.exit_code == 0
    assert "(24 of each face, for Great Britain)" in done.stdout
    pages = opened((tmp_path / "label.pdf").read_bytes())
    words = [line.text for page in pages for line in measured(page).words]
    assert words.count("Net weight 108\N{NO-BREAK SPACE}g") == 24
    assert words.count("Test studio, 1 Example Lane") == 24
    assert all(sorted(page_mm(page)) == pytest.approx([210.0, 297.0], abs=0.05) for page in pages)


def test_so_many_labels_without_a_sheet(tmp_path: Path) -> None:
    """A page each."""
    assert _label(tmp_path, studio(), "--count", "3").exit_code == 0
    assert len(opened((tmp_path / "label.pdf").read_bytes())) == 6


def test_a_label_that_no_sheet_holds(tmp_path: Path) -> None:
    """It is told, and nothing is written."""
    huge = "---\nform: caution_label\npanel: {width: 300 mm, height: 220 mm}\n---\n"
    done = _label(tmp_path, studio() | {"packaging/caution.md": huge}, "--sheet", "letter")
    assert (done.exit_code, done.stderr) == (2, "The label does not fit on a sheet of letter.\n")
    assert _pdfs(tmp_path) == []


def test_a_market_that_the_studio_does_not_sell_in(tmp_path: Path) -> None:
    """The markets are named; a studio without any is told to write them."""
    done = _label(tmp_path, studio(markets="[eu, gb]"), "--market", "us")
    assert (done.exit_code, done.stderr) == (
        2,
        (
            "The studio does not sell in us. Its markets: eu, gb. Mend 'markets' in studio.md, or "
            "ask for one of them.\n"
        ),
    )
    done = _label(tmp_path, studio(markets="[]"))
    assert done.exit_code == 2
    assert done.stderr.startswith("studio.md names no market, and a label follows the law of one.")
    assert _pdfs(tmp_path) == []


def test_languages_that_are_asked_for(tmp_path: Path) -> None:
    """In their order, each once; a studio's own file counts although studio.md does not name it."""
    (tmp_path / "site_templates/statements").mkdir(parents=True)
    own = shipped("en").replace("Burn within sight.", "Houd de vlam in het oog.")
    (tmp_path / "site_templates/statements/nl.yml").write_text(own, "utf-8")
    spoken = ("--language", "nl", "--language", "de", "--language", "nl")
    assert _label(tmp_path, studio(), *spoken).exit_code == 0
    text = opened((tmp_path / "label.pdf").read_bytes())[1].extract_text().replace("\n", " ")
    assert text.count("Houd de vlam in het oog.") == 1
    assert text.index("Houd de vlam") < text.index("Nie unbeaufsichtigt")


def test_a_language_that_is_none(tmp_path: Path) -> None:
    """What is no name of a file is a wrong call; what has no file is refused by name."""
    for name in ("german", "../de", "DE", ""):
        done = _label(tmp_path, studio(), "--language", name)
        assert done.exit_code == 2
        assert f"{name!r} is no language; write two letters such as en or de." in done.stderr
    done = _label(tmp_path, studio(), "--language", "xx")
    assert done.exit_code == 2
    assert "There are no statements in the language 'xx'." in done.stderr
    assert _pdfs(tmp_path) == []


def test_a_file_of_statements_that_is_at_fault(tmp_path: Path) -> None:
    """It ends the run with its line, and nothing is written."""
    (tmp_path / "site_templates/statements").mkdir(parents=True)
    wrong = shipped("en").replace("{left}", "")
    (tmp_path / "site_templates/statements/en.yml").write_text(wrong, "utf-8")
    for verb in ("label", "sticker"):
        done = _call(tmp_path, studio(), verb, "fig")
        assert done.exit_code == 1
        assert "site_templates/statements/en.yml:" in done.stderr
        assert "found no '{left}' in 'stop_at'" in done.stderr
    assert _pdfs(tmp_path) == []


# --- Stickers ---

WAITING: Final = {
    "burns/fig-c.md": burn("C", cycles=whole_life(2)[:2], end=""),
    "burns/fig-d.md": burn("D", cycles=[], end="", candles=1),
}


def _sticker(folder: Path, files: dict[str, str], *words: str) -> Result:
    return _call(folder, files, "sticker", "fig", "--out", str(folder / "s.pdf"), *words)


def test_a_sticker_says_that_it_is_no_product(tmp_path: Path) -> None:
    """One for each candle that waits or burns, with its code and its letter."""
    done = _sticker(tmp_path, studio() | WAITING)
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout == f"Written: {tmp_path / 's.pdf'}. Stickers: 2.\n"
    pages = opened((tmp_path / "s.pdf").read_bytes())
    code = desk_of(studio() | WAITING).account.products["fig"].code
    said = [" ".join(line.text for line in measured(page).words) for page in pages]
    assert said == [f"TEST CANDLE, NOT FOR SALE {code} Candle {letter}" for letter in "CD"]
    assert all(page_mm(page) == pytest.approx((40.0, 25.0), abs=0.05) for page in pages)


def test_a_sticker_has_no_word_of_a_label(tmp_path: Path) -> None:
    """Neither its name, nor a weight, nor an address: it cannot be taken for one."""
    assert _sticker(tmp_path, studio() | WAITING).exit_code == 0
    text = "".join(page.extract_text() for page in opened((tmp_path / "s.pdf").read_bytes()))
    for word in ("Fig", "108 g", "Test studio", "linalool", "Batch"):
        assert word not in text


def test_stickers_of_a_candle_that_is_set_aside_or_burned_wrongly(tmp_path: Path) -> None:
    """They stand in the studio like any other, and look like a product."""
    void = burn("C", cycles=[], end="", more="void: {why: fell, by: me, on: 2026-03-20}\n")
    misused = burn("D", cycles=[], end="", candles=1, more="as: misuse\nhow: draught\n")
    other = burn("E", cycles=[], end="", candles=1, oil="5.0 g")
    files = studio() | {
        "burns/fig-c.md": void, "burns/fig-d.md": misused, "burns/fig-e.md": other,
    }  # fmt: skip
    assert _sticker(tmp_path, files).exit_code == 0
    pages = opened((tmp_path / "s.pdf").read_bytes())
    said = [[line.text for line in measured(page).words][-2:] for page in pages]
    codes = desk_of(files).account.burn_codes
    assert said == [[codes[f"fig-{one.lower()}"], f"Candle {one}"] for one in "CDE"]
    assert codes["fig-e"] != codes["fig-d"]  # the oil that was really weighed in


def test_without_a_candle_to_mark_there_is_no_sticker(tmp_path: Path) -> None:
    """Each of them has burned to its end."""
    done = _sticker(tmp_path, studio())
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr == "No test candle of Fig is waiting or burning: there is nothing to mark.\n"
    assert _pdfs(tmp_path) == []


def test_stickers_on_a_sheet_in_another_language(tmp_path: Path) -> None:
    """German, on letter paper."""
    done = _sticker(tmp_path, studio() | WAITING, "--sheet", "letter", "--language", "de")
    assert done.exit_code == 0
    pages = opened((tmp_path / "s.pdf").read_bytes())
    assert all(sorted(page_mm(page)) == pytest.approx([215.9, 279.4], abs=0.05) for page in pages)
    words = " ".join(line.text for page in pages for line in measured(page).words)
    assert words.count("PRÜFKERZE, NICHT ZUM VERKAUF") == 2


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        (None, "There are no statements in the language 'nl'."),
        (("  test_candle:", "  # test_candle:"), "that are not in English here: test_candle."),
        (("NOT FOR SALE", "NOT FOR SALE " * 30), "For the sticker, 40 mm by 25 mm is too small."),
        (("NOT FOR SALE", "\N{CJK UNIFIED IDEOGRAPH-706B}"), "The font has no letter for: \u706b"),
    ],
)
def test_a_sticker_that_cannot_be_printed_is_told(
    changed: tuple[str, str] | None, told: str, tmp_path: Path
) -> None:
    """Not that there is no candle to mark."""
    if changed is not None:
        (tmp_path / "site_templates/statements").mkdir(parents=True)
        own = shipped("en").replace(*changed)
        (tmp_path / "site_templates/statements/nl.yml").write_text(own, "utf-8")
    done = _sticker(tmp_path, studio() | WAITING, "--language", "nl")
    assert (done.exit_code, done.stdout) == (2, "")
    lines = spaced(done.stderr).splitlines()
    assert lines[0] == "There is no sticker:"
    assert told in done.stderr.replace("\N{NO-BREAK SPACE}", " ")
    assert _pdfs(tmp_path) == []


def test_a_sticker_of_another_size() -> None:
    """On whatever panel is given."""
    desk = desk_of(studio() | WAITING)
    faces, against = stickers_of(desk.account, "fig", "en", desk.press, Panel(60, 30))
    assert against == ()
    assert [face.panel for face in faces] == [Panel(60, 30)] * 2
    assert desk.day == date(2026, 5, 1)


def test_the_labels_of_the_demo(tmp_path: Path) -> None:
    """A bare front is printed on its box; each of the two markets in its languages."""
    out = str(tmp_path / "gift.pdf")
    done = called(ROOT, "label", "cedar-fig-gift", "--market", "eu", "--out", out)
    assert done.exit_code == 0, done.stderr
    (page,) = opened(Path(out).read_bytes())
    assert page_mm(page) == pytest.approx((120.0, 110.0), abs=0.05)
    text = page.extract_text().replace("\n", " ")
    assert "Burn within sight." in text
    assert "Nie unbeaufsichtigt brennen lassen." in text
    assert NAMED != SENSITISING


@pytest.mark.parametrize(
    "words", [("label", "fig"), ("paper", "care", "fig"), ("paper", "sheet", "fig")]
)
def test_nothing_goes_out_while_anything_waits(tmp_path: Path, words: tuple[str, ...]) -> None:
    """A report or a failing cycle may lie in the inbox: it is taken first, or looked into."""
    files, out = studio(), str(tmp_path / "out")
    assert _call(tmp_path, files, *words, "--out", out).exit_code == 0
    Path(out).unlink()
    inbox = tmp_path / "inbox"
    inbox.mkdir()
    (inbox / "incident-1.txt").write_text("---\nhandover: 1\n---\n", "utf-8")
    done = _call(tmp_path, files, *words, "--out", out)
    assert done.exit_code == 2
    assert "inbox/incident-1.txt" in done.stderr
    assert "Take it first: handbook take." in done.stderr
    assert not Path(out).exists()
