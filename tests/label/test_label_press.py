"""What labels are made with: the catalogues of the languages, and the measures of the fonts."""

from pathlib import Path

from handbook_builder.derived.account import account_of
from handbook_builder.derived.label.press import catalogue_of, press_from, shipped_press
from handbook_builder.pages.desk import Desk
from handbook_builder.workshop import press_of, words_for, words_text_for
from tests.label.kit import shipped, studio
from tests.records_in_text import DAY, linked


def test_a_language_without_a_file_is_no_fault_of_the_press() -> None:
    """Its labels are refused by name; what is wrong in a file that is there is told."""
    press, faults = press_from({"en": shipped("en"), "nl": None})
    assert faults == ()
    assert list(press.catalogues) == ["en"]
    press, faults = press_from({"en": shipped("en"), "nl": "language: [", "de": None})
    assert [fault.place.file for fault in faults] == ["site_templates/statements/nl.yml"]
    assert list(press.catalogues) == ["en"]


def test_a_file_that_nobody_wrote_is_told_where_it_would_stand() -> None:
    """With the code of the message."""
    catalogue, problems = catalogue_of("nl", None)
    assert catalogue is None
    assert [(one.code, one.place.file) for one in problems] == [
        ("no_catalogue", "site_templates/statements/nl.yml")
    ]


def test_the_shipped_press_speaks_english() -> None:
    """It is read once, and is what a desk without its own uses."""
    assert list(shipped_press().catalogues) == ["en"]
    assert shipped_press() is shipped_press()
    account = account_of(linked(studio()), DAY)
    desk = Desk(account, words_for(account.studio, words_text_for(None)))
    assert desk.press is shipped_press()


def test_the_languages_of_every_market_are_read_and_those_asked_for(tmp_path: Path) -> None:
    """English always; each once; the studio's own file before the shipped one."""
    folder = tmp_path / "site_templates/statements"
    folder.mkdir(parents=True)
    own = shipped("de").replace("language: Deutsch", "language: Unser Deutsch")
    (folder / "de.yml").write_text(own, "utf-8")
    (folder / "fr.yml").write_text(shipped("en").replace("English", "Français"), "utf-8")
    stated = studio()["studio.md"].replace("protocol:", "languages: {gb: [de, nl]}\nprotocol:")
    account = account_of(linked(studio() | {"studio.md": stated}), DAY)
    press, faults = press_of(account, tmp_path)
    assert faults == ()
    assert {key: one.language for key, one in press.catalogues.items()} == {
        "en": "English",
        "de": "Unser Deutsch",
    }
    press, _ = press_of(account, tmp_path, ("fr", "en"))
    assert press.catalogues["fr"].language == "Français"
