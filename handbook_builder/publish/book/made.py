"""The book of a studio: its site is made as ever, cleaned and searched, and then set on paper."""

from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

import click

from handbook_builder.labels.pdf import Imprint
from handbook_builder.publish.book.bound import Bound, Colophon, Term, bound
from handbook_builder.publish.book.leaf import Paper
from handbook_builder.publish.book.sections import Section, sections_of
from handbook_builder.publish.searched import told_in
from handbook_builder.publish.site import made_aside
from handbook_builder.workshop import Handbook


def book_of(studio: Path, as_of: date | None, edition: str, paper: Paper) -> Bound | None:
    """Return the book of one edition, or None where it cannot be made.

    What is at fault is told on stderr, as by a build. Nothing is written.
    """
    with made_aside(studio, as_of, edition) as made:
        if made is None:
            return None
        handbook, folder = made
        sections = sections_of(handbook.pages, folder)
    colophon = _colophon(handbook, edition)
    terms = tuple(_terms(handbook, colophon))
    if _is_refused(handbook, colophon, sections, terms):
        return None
    made_on = datetime.combine(colophon.as_of, time(), UTC)
    imprint = Imprint(f"{colophon.studio}: {colophon.said['title']}", made_on)
    return bound(sections, terms, colophon, paper, imprint)


def _is_refused(
    handbook: Handbook,
    colophon: Colophon,
    sections: Iterable[Section],
    terms: Iterable[Term],
) -> bool:
    """Return whether what the book says beside its pages tells what is withheld; name it then.

    The pages were cleaned and searched when they were made.
    """
    if handbook.secrets is None:
        return False
    heads = (f"{one.title} {one.word} {one.code}" for one in sections)
    indexed = (f"{one.term} {one.meaning}" for one in terms)
    own = (colophon.studio, colophon.own_tests, str(colophon.said))
    found = told_in("the book", "\n".join((*own, *heads, *indexed)), handbook.secrets)
    for one in found:
        click.echo(str(one), err=True)
    return bool(found)


def _colophon(handbook: Handbook, edition: str) -> Colophon:
    account, words = handbook.account, handbook.words
    if account is None or words is None:
        msg = "a handbook that was made has an account and words"
        raise TypeError(msg)
    pages, day = words.phrases["pages"], account.judged.as_of
    return Colophon(
        studio=handbook.studio_name,
        edition=edition,
        as_of=day,
        void_after=day + timedelta(days=int(handbook.stale_after_days)),
        own_tests=str(pages["own_tests"]),
        said=pages["papers"]["book"],
    )


def _terms(handbook: Handbook, colophon: Colophon) -> Iterator[Term]:
    """Yield every code of a product and every lot, as this edition calls them."""
    for page in handbook.pages:
        if page.path.startswith("products/"):
            yield Term(page.content.code, page.title)
        elif page.path.startswith("lots/"):
            item = page.content.item
            meaning = str(colophon.said["lot_of"]).format(item=item.title)
            yield Term(page.content.lot, meaning, item.title, item.path)
