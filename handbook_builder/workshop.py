"""The way through the house, from a folder of records to the pages that tell of it."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from handbook_builder.derived.account import Account, account_of
from handbook_builder.derived.fit import misfits
from handbook_builder.problems import Problem, in_order
from handbook_builder.reading.records import Reading, read_folder
from handbook_builder.shipped import templates_folder
from handbook_builder.studio.studio import Studio, link
from handbook_builder.words import Words

if TYPE_CHECKING:
    from handbook_builder.pages.page import Page


@dataclass(frozen=True, slots=True)
class Handbook:
    """The pages of a studio, or the problems that keep them from being made: never both."""

    pages: "tuple[Page, ...]"
    problems: tuple[Problem, ...]
    studio_name: str = ""


def studio_from(reading: Reading) -> tuple[Studio | None, tuple[Problem, ...]]:
    """Return the linked studio, or None and every problem that its records have."""
    studio, problems = link(reading)
    if studio is None:
        return None, problems
    unfit = in_order(misfits(studio))
    return (None, unfit) if unfit else (studio, ())


def studio_in(
    records: Path, shown_as: str = "records/"
) -> tuple[Studio | None, tuple[Problem, ...]]:
    """Return the studio kept in the folder `records`, or None and every problem in it."""
    return studio_from(read_folder(records, shown_as))


def account_in(records: Path, as_of: date) -> tuple[Account | None, tuple[Problem, ...]]:
    """Return the studio in `records` judged and reckoned up as of a day, or its problems."""
    studio, problems = studio_in(records)
    return (None if studio is None else account_of(studio, as_of)), problems


def words_text_for(folder: Path) -> str:
    """Return the catalogue of words: the studio's own, in `folder`, before the shipped one."""
    own = folder / "site_templates" / "words.yml"
    return (own if own.is_file() else templates_folder() / "words.yml").read_text("utf-8")


def words_for(studio: Studio, text: str) -> Words:
    """Return the catalogue `text` in the units and currency of the studio."""
    return Words.load(text, studio.info.units, studio.info.currency)


def handbook_of(records: Path, as_of: date, words_text: str | None = None) -> Handbook:
    """Return the handbook of the records as of a day."""
    from handbook_builder.pages.handbook import pages_of  # noqa: PLC0415 -- not needed to check

    account, problems = account_in(records, as_of)
    if account is None:
        return Handbook((), problems)
    words = words_for(account.studio, words_text or words_text_for(records.parent))
    return Handbook(pages_of(account, words), (), account.studio.info.name)
