"""The recall notice: what to post where a buyer has no address. It names no buyer."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from handbook_builder.derived.batches import given_by
from handbook_builder.derived.lots import touched_by
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.which import Kind, pages_told, path_of, sender_of
from handbook_builder.pages.trade.parts import incident_link
from handbook_builder.reading.kinds.trade import Batch, Incident

_MOST_BATCHES: Final = 6  # of a notice on one page


@dataclass(frozen=True, slots=True)
class Recalled:
    """One batch that has left the studio: what it is, how to know it, and between what days.

    `first_out` to `last_out` are the days on which candles of it left.
    """

    product: str
    code: str
    batch: str
    poured: date
    out: int
    first_out: date
    last_out: date


@dataclass(frozen=True, slots=True)
class Law:
    """What the law of one market asks of a notice, how sure that is, and what to check."""

    market: str
    lead: str
    asks: tuple[str, ...]
    sure: str


@dataclass(frozen=True, slots=True)
class NoticePaper:
    """What a recall notice shows; `softening` are words of the record that play the hazard down."""

    headline: str
    studio: str
    sender: str
    reported: date
    batches: tuple[Recalled, ...]
    nothing_out: str
    hazard: str
    stop: str
    steps: tuple[str, ...]
    blanks: tuple[str, ...]
    call: str
    share: str
    softening: str
    laws: tuple[Law, ...]
    before: tuple[str, ...]
    aid: str
    as_of: date
    one_page: str
    own_tests: str

    @property
    def kicker(self) -> str:
        """Return what sort of paper it is."""
        return self.headline

    @property
    def code(self) -> str:
        """Return no code: an incident may be about several candles."""
        return ""


def page_of_notice(desk: Desk, incident: Incident) -> Page:
    """Return the notice of an open incident."""
    ident = incident_link(desk, incident).path.rpartition("/")[2]
    title = desk.phrase("titles.incident", number=incident.number)
    content = _content(desk, incident)
    return Page(path_of(Kind.NOTICE, ident), title, "paper_notice", content, is_alone=True)


def _content(desk: Desk, incident: Incident) -> NoticePaper:
    touched = touched_by(desk.studio, desk.day, incident)
    recalled = tuple(_recalled(desk, (desk.studio.batches[batch.batch] for batch in touched)))
    return NoticePaper(
        headline=_say(desk, "headline"),
        studio=desk.studio.info.name,
        sender=sender_of(desk),
        reported=incident.on,
        batches=recalled,
        nothing_out=_say(desk, "nothing_out"),
        hazard=incident.what,
        stop=_say(desk, "stop"),
        steps=_all(desk, "steps"),
        blanks=_all(desk, "blanks"),
        call=_call(desk),
        share=_say(desk, "share"),
        softening=softening(desk, incident.what),
        laws=tuple(_law(desk, market) for market in desk.studio.info.markets),
        before=_all(desk, "before"),
        aid=desk.phrase("papers.aid"),
        as_of=desk.day,
        one_page=_pages(desk, incident, recalled),
        own_tests=desk.phrase("own_tests"),
    )


def _call(desk: Desk) -> str:
    """Return how the studio is reached, or a blank to fill in."""
    contact = desk.studio.info.contact
    return f"{_say(desk, 'call')} {contact}" if contact else _say(desk, "call")


def _pages(desk: Desk, incident: Incident, recalled: tuple[Recalled, ...]) -> str:
    """Return on how many pages the notice prints."""
    contact = desk.studio.info.contact or ""
    titles = (batch.product for batch in recalled)
    texts = (incident.what, sender_of(desk), contact, *titles)
    return pages_told(desk, len(recalled), _MOST_BATCHES, sum(map(len, texts)))


def _say(desk: Desk, key: str, **details: object) -> str:
    return desk.phrase(f"papers.notice.{key}", **details)


def _all(desk: Desk, key: str) -> tuple[str, ...]:
    """Return the sentences that stand in a list of the catalogue."""
    return tuple(desk.words.phrases["pages"]["papers"]["notice"][key])


def _recalled(desk: Desk, batches: Iterable[Batch]) -> Iterator[Recalled]:
    """Yield each batch of which candles have left the studio, the oldest first."""
    for batch in batches:
        given = [one for one in given_by(desk.judged, batch) if one.out > 0]
        out = desk.account.batches[batch.source.id].given
        if out:
            recipe = desk.studio.recipes[batch.recipe]
            yield Recalled(
                product=recipe.title,
                code=batch.code or desk.account.products[batch.recipe].code,
                batch=batch.source.id,
                poured=batch.on,
                out=out,
                first_out=given[0].on,
                last_out=given[-1].on,
            )


def softening(desk: Desk, what: str) -> str:
    """Return which words of a record play a hazard down, in a sentence, or nothing."""
    known = _all(desk, "softening_words")
    found = [word for word in known if re.search(rf"(?<!\w){re.escape(word)}", what, re.IGNORECASE)]
    return _say(desk, "softening", words=", ".join(found)) if found else ""


def _law(desk: Desk, market: str) -> Law:
    told = desk.words.phrases["pages"]["papers"]["notice"]["laws"][market]
    return Law(desk.phrase(f"markets.{market}"), told["lead"], tuple(told["asks"]), told["sure"])
