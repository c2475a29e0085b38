"""The way through the house, from a folder of records to the pages that tell of it."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from handbook_builder.derived.account import Account, account_of
from handbook_builder.derived.beside import published
from handbook_builder.derived.hands import edition_of, page_named
from handbook_builder.derived.neutral import attachments_for_helpers, names_for
from handbook_builder.faults.counts import miscounted, unshown
from handbook_builder.faults.fit import misfits
from handbook_builder.faults.future import untold_yet
from handbook_builder.faults.poured import alike_lots, miscopied, of_another, unfounded, untraceable
from handbook_builder.faults.sheets import overlisted
from handbook_builder.faults.sizes import impossible_sizes
from handbook_builder.faults.told import told
from handbook_builder.problems import Problem, in_order
from handbook_builder.publish.templates import file_text, files_in, layers
from handbook_builder.reading.merges import conflicts_of_studio
from handbook_builder.reading.records import Reading, read_folder
from handbook_builder.shipped import templates_folder
from handbook_builder.studio.studio import Studio, link
from handbook_builder.words import Words

if TYPE_CHECKING:
    from handbook_builder.derived.label.made import Press
    from handbook_builder.pages.page import Page
    from handbook_builder.pages.private.withheld import Secrets
    from handbook_builder.reading.statements import Catalogue


@dataclass(frozen=True, slots=True)
class Handbook:
    """The pages of a studio, or the problems that keep them from being made: never both.

    `secrets` is what the edition withholds, None for the owner's, and `guide_values` are the
    numbers that a guide may ask for. A page that is older than `stale_after_days` says so.
    `account` and `words` are what the pages were told from, so that another edition can be told
    without reading all again. `attachments` are those that the edition holds: where each
    stands in the site, and its file below the records.
    """

    pages: "tuple[Page, ...]"
    problems: tuple[Problem, ...]
    studio_name: str = ""
    secrets: "Secrets | None" = None
    guide_values: Mapping[str, str] = field(default_factory=dict)
    stale_after_days: float = 7.0
    account: Account | None = None
    words: Words | None = None
    press: "Press | None" = None
    attachments: Mapping[str, str] = field(default_factory=dict)

    @property
    def photos(self) -> Mapping[str, str]:
        """Return the pictures among the records, each by its path there, twice."""
        photos = () if self.account is None else self.account.studio.photos
        return dict(zip(photos, photos, strict=True))

    @property
    def wrong_link(self) -> str:
        """Return what stands at the foot of each page, for a reader who sees that all is not well.

        Nothing, where there are no pages that it could lead from.
        """
        told = None if self.words is None else self.words.phrases["pages"]["bench"]["incident"]
        return "" if told is None else str(told["link"])


def studio_from(
    reading: Reading, known_by: date = date.max, folder: Path | None = None
) -> tuple[Studio | None, tuple[Problem, ...]]:
    """Return the linked studio, or None and every problem that its records have.

    Nothing can be on file that is dated after `known_by`. What contradicts a verdict is told in
    the words of the studio's `folder`, where it has its own.
    """
    studio, problems = link(reading)
    if studio is None:
        return None, problems
    faults = in_order(_plain_faults(studio, known_by))
    faults = faults or _unfounded(studio, folder)
    return (None, faults) if faults else (studio, ())


def _plain_faults(studio: Studio, known_by: date) -> Iterator[Problem]:
    """Yield whatever is wrong in a linked studio, but for batches without a proof."""
    # A size or a day that cannot be is told before what would be made of it.
    yield from impossible_sizes(studio)
    yield from untold_yet(studio, known_by)
    yield from misfits(studio)
    yield from overlisted(studio)
    yield from chain(miscounted(studio), unshown(studio))
    traces = (miscopied(studio), of_another(studio), untraceable(studio), alike_lots(studio))
    yield from chain(*traces)


def faults_added(before: Reading, after: Reading, known_by: date) -> tuple[Problem, ...]:
    """Return what is wrong in the records `after` a change and was not before, wherever it stands.

    Whether batches were proven is not asked: a failure that is found late must be written.
    """
    known = {(one.place.file, one.code, one.message) for one in _found_in(before, known_by)}
    found = _found_in(after, known_by)
    return in_order(one for one in found if (one.place.file, one.code, one.message) not in known)


def _found_in(reading: Reading, known_by: date) -> Iterable[Problem]:
    studio, problems = link(reading)
    return problems if studio is None else _plain_faults(studio, known_by)


def _unfounded(studio: Studio, folder: Path | None) -> tuple[Problem, ...]:
    batches = tuple(unfounded(studio))
    if not batches:  # the catalogue is long, and read for what must be said alone
        return ()
    words = words_for(studio, words_text_for(folder))
    return in_order(told(batch, words) for batch in batches)


def studio_in(
    records: Path, shown_as: str = "records/", as_of: date = date.min
) -> tuple[Studio | None, tuple[Problem, ...]]:
    """Return the studio kept in the folder `records`, or None and every problem in it.

    What is dated after today is a slip, unless it is asked what will be known on a later day.
    """
    reading = read_folder(records, shown_as)
    # Told with the records, and before any of it is read as what it should be.
    unmerged = conflicts_of_studio(records.parent)
    if unmerged:
        reading = replace(reading, problems=in_order((*reading.problems, *unmerged)))
    return studio_from(reading, last_known_day(as_of), records.parent)


def last_known_day(as_of: date) -> date:
    """Return the last day that a record can tell of: today, or a later one that is asked about."""
    return max(as_of, date.today())  # noqa: DTZ011 -- the local day, at the door: no rule reads a clock


def account_in(
    records: Path, as_of: date, studio_folder: Path | None = None
) -> tuple[Account | None, tuple[Problem, ...]]:
    """Return the studio in `records` judged and reckoned up as of a day, or its problems.

    Its guides are those of the studio's folder, which holds the records unless told otherwise.
    """
    studio, problems = studio_in(records, as_of=as_of)
    if studio is None:
        return None, problems
    return account_of(studio, as_of, guides_for(studio_folder or records.parent)), problems


def guides_for(folder: Path) -> Mapping[str, str]:
    """Return the edition of each guide by its name: the studio's own, then the shipped ones."""
    texts = {page_named(uri): path for uri, path in files_in(layers(folder, "guides")).items()
             if uri.startswith("guides/") and uri.endswith(".md")}  # fmt: skip
    return {
        name: edition_of(path.read_text("utf-8", errors="replace"))
        for name, path in sorted(texts.items())
        if name != "index"
    }


def words_text_for(folder: Path | None) -> str:
    """Return the catalogue of words: the studio's own, in `folder`, before the shipped one."""
    own = (folder or templates_folder()) / "site_templates" / "words.yml"
    return (own if own.is_file() else templates_folder() / "words.yml").read_text("utf-8")


def words_for(studio: Studio, text: str) -> Words:
    """Return the catalogue `text` in the units and currency of the studio."""
    return Words.load(text, studio.info.units, studio.info.currency)


def handbook_of(  # noqa: PLR0913, PLR0917 -- one a part of what is asked
    records: Path,
    as_of: date,
    words_text: str | None = None,
    edition: str = "owner",
    known: tuple[str, ...] = (),
    studio_folder: Path | None = None,
) -> Handbook:
    """Return the handbook of the records as of a day, in the edition `owner` or `floor`.

    `known` are words that are no secret in the floor edition, though they stand in a name.
    """
    account, problems = account_in(records, as_of, studio_folder)
    if account is None:
        return Handbook((), problems)
    words = words_for(account.studio, words_text or words_text_for(records.parent))
    press, faults = press_of(account, studio_folder or records.parent)
    if faults:
        return Handbook((), faults)
    return in_edition(account, words, edition, known, press)


def statements_for(
    folder: Path | None, language: str
) -> "tuple[Catalogue | None, tuple[Problem, ...]]":
    """Return what labels say in a language: the studio's own file, in `folder`, before the shipped.

    Without either there is a problem that says what to write.
    """
    from handbook_builder.derived.label.press import catalogue_of  # noqa: PLC0415 -- for labels alone

    return catalogue_of(language, _statements_text(folder, language))


def press_of(
    account: Account, folder: Path, also: Iterable[str] = ()
) -> "tuple[Press, tuple[Problem, ...]]":
    """Return what the labels of a studio are made with, and what is wrong in its catalogues.

    It is made for the languages that the studio states, for English, and for those in `also`.
    """
    from handbook_builder.derived.label.made import USUAL_LANGUAGE  # noqa: PLC0415 -- as above
    from handbook_builder.derived.label.press import press_from  # noqa: PLC0415 -- as above

    stated = [one for market in account.studio.info.languages.values() for one in market]
    languages = dict.fromkeys((USUAL_LANGUAGE, *stated, *also))
    return press_from({language: _statements_text(folder, language) for language in languages})


def _statements_text(folder: Path | None, language: str) -> str | None:
    return file_text(folder or templates_folder(), f"statements/{language}.yml")


def in_edition(  # noqa: PLR0913, PLR0917 -- one a part of what is asked
    account: Account,
    words: Words,
    edition: str,
    known: tuple[str, ...] = (),
    press: "Press | None" = None,
    pupils: int | None = None,
) -> Handbook:
    """Return the handbook of an account in the edition `owner` or `floor`, a class for `pupils`."""
    from handbook_builder.pages.desk import PUPILS, Desk  # noqa: PLC0415 -- as above
    from handbook_builder.pages.edition import Edition  # noqa: PLC0415 -- as above
    from handbook_builder.pages.guide_values import guide_values  # noqa: PLC0415 -- as above
    from handbook_builder.pages.handbook import pages_of  # noqa: PLC0415 -- as above
    from handbook_builder.pages.private import withheld  # noqa: PLC0415 -- not needed to check

    pages = pages_of(account, words, Edition(edition), known, press, pupils or PUPILS)
    secrets, attached = None, account.studio.attachments
    if edition == Edition.FLOOR:
        secrets = withheld.secrets_of(withheld.withheld(account.studio, words, known))
        attached = attachments_for_helpers(account.studio, names_for(account.studio))
    return Handbook(
        pages=pages,
        problems=(),
        studio_name=account.studio.info.name,
        secrets=secrets,
        guide_values=guide_values(Desk(account, words)),
        stale_after_days=account.studio.info.stale_after_days,
        account=account,
        words=words,
        press=press,
        attachments=published(attached),
    )
