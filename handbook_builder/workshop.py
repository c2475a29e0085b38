"""The way through the house, from a folder of records to the pages that tell of it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from handbook_builder.derived.account import Account, account_of
from handbook_builder.faults.counts import miscounted, unshown
from handbook_builder.faults.fit import misfits
from handbook_builder.faults.future import untold_yet
from handbook_builder.faults.poured import alike_lots, miscopied, unfounded, untraceable
from handbook_builder.faults.sizes import impossible_sizes
from handbook_builder.problems import Problem, in_order
from handbook_builder.reading.records import Reading, read_folder
from handbook_builder.shipped import templates_folder
from handbook_builder.studio.studio import Studio, link
from handbook_builder.words import Words

if TYPE_CHECKING:
    from handbook_builder.pages.page import Page


@dataclass(frozen=True, slots=True)
class Handbook:
    """The pages of a studio, or the problems that keep them from being made: never both.

    `clean` takes out of a guide what the edition withholds, and `guide_values` are the numbers that
    a guide may ask for. A page that is older than `stale_after_days` says so. `account` and `words`
    are what the pages were told from, so that another edition can be told without reading all anew.
    """

    pages: "tuple[Page, ...]"
    problems: tuple[Problem, ...]
    studio_name: str = ""
    clean: Callable[[str], str] = str
    guide_values: Mapping[str, str] = field(default_factory=dict)
    stale_after_days: float = 7.0
    account: Account | None = None
    words: Words | None = None


def studio_from(
    reading: Reading, known_by: date = date.max
) -> tuple[Studio | None, tuple[Problem, ...]]:
    """Return the linked studio, or None and every problem that its records have.

    Nothing can be on file that is dated after `known_by`.
    """
    studio, problems = link(reading)
    if studio is None:
        return None, problems
    # A size or a day that cannot be is told before what would be made of it.
    slips = (impossible_sizes(studio), untold_yet(studio, known_by), misfits(studio))
    counts = (miscounted(studio), unshown(studio))
    traces = (miscopied(studio), untraceable(studio), alike_lots(studio))
    faults = in_order(chain(*slips, *counts, *traces))
    faults = faults or in_order(unfounded(studio))
    return (None, faults) if faults else (studio, ())


def studio_in(
    records: Path, shown_as: str = "records/", as_of: date = date.min
) -> tuple[Studio | None, tuple[Problem, ...]]:
    """Return the studio kept in the folder `records`, or None and every problem in it.

    What is dated after today is a slip, unless it is asked what will be known on a later day.
    """
    return studio_from(read_folder(records, shown_as), max(as_of, _today()))


def _today() -> date:
    return date.today()  # noqa: DTZ011 -- the local day, at the door: no rule reads a clock


def account_in(records: Path, as_of: date) -> tuple[Account | None, tuple[Problem, ...]]:
    """Return the studio in `records` judged and reckoned up as of a day, or its problems."""
    studio, problems = studio_in(records, as_of=as_of)
    return (None if studio is None else account_of(studio, as_of)), problems


def words_text_for(folder: Path) -> str:
    """Return the catalogue of words: the studio's own, in `folder`, before the shipped one."""
    own = folder / "site_templates" / "words.yml"
    return (own if own.is_file() else templates_folder() / "words.yml").read_text("utf-8")


def words_for(studio: Studio, text: str) -> Words:
    """Return the catalogue `text` in the units and currency of the studio."""
    return Words.load(text, studio.info.units, studio.info.currency)


def handbook_of(
    records: Path, as_of: date, words_text: str | None = None, edition: str = "owner"
) -> Handbook:
    """Return the handbook of the records as of a day, in the edition `owner` or `floor`."""
    account, problems = account_in(records, as_of)
    if account is None:
        return Handbook((), problems)
    words = words_for(account.studio, words_text or words_text_for(records.parent))
    return in_edition(account, words, edition)


def in_edition(account: Account, words: Words, edition: str) -> Handbook:
    """Return the handbook of an account in the edition `owner` or `floor`."""
    from handbook_builder.pages import withheld  # noqa: PLC0415 -- not needed to check
    from handbook_builder.pages.desk import Desk  # noqa: PLC0415 -- as above
    from handbook_builder.pages.edition import Edition  # noqa: PLC0415 -- as above
    from handbook_builder.pages.guide_values import guide_values  # noqa: PLC0415 -- as above
    from handbook_builder.pages.handbook import pages_of  # noqa: PLC0415 -- as above

    pages = pages_of(account, words, Edition(edition))
    clean: Callable[[str], str] = str
    if edition == Edition.FLOOR:
        clean = withheld.guide_cleaner(withheld.withheld(account.studio, words))
    return Handbook(
        pages=pages,
        problems=(),
        studio_name=account.studio.info.name,
        clean=clean,
        guide_values=guide_values(Desk(account, words)),
        stale_after_days=account.studio.info.stale_after_days,
        account=account,
        words=words,
    )
