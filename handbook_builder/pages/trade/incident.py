"""One page an incident, which is the recall sheet: what it touches, who has it, what is left."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.lots import touched_by
from handbook_builder.pages.beside import Beside, beside_of
from handbook_builder.pages.desk import Desk, Link
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.which import notice_of
from handbook_builder.pages.trade.parts import (
    BatchLine,
    Handed,
    IncidentLine,
    batch_lines,
    handed_from,
    incident_line,
    incident_link,
)
from handbook_builder.reading.kinds.trade import Incident
from handbook_builder.verdicts.incidents import Touch, is_open, known_from
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class Reached:
    """The batches that an incident touches in the same way: how many are out, and who has them."""

    why: str
    batches: tuple[BatchLine, ...]
    made: int
    out: int
    left: int
    handed: tuple[Handed, ...]


@dataclass(frozen=True, slots=True)
class IncidentPage:
    """What the page of an incident shows; `told` is when it was, where that was later."""

    line: IncidentLine
    told: date | None
    is_open: bool
    word: Word
    state: str
    reached: tuple[Reached, ...]
    address: str | None
    nobody: str
    all_here: str
    notice: Link | None
    notice_lead: str
    notes: str
    more: Beside | None
    own_tests: str


def page_of_incident(desk: Desk, incident: Incident) -> Page:
    """Return the page of one incident; an open one comes early in the search."""
    link = incident_link(desk, incident)
    still = is_open(incident, desk.day)
    words = tuple(one for one in (incident.about.id, incident.lot, incident.what) if one)
    boost = 1.6 if still else 0.8
    content = _content(desk, incident, still=still)
    return Page(link.path, link.title, "incident", content, boost, words)


def _content(desk: Desk, incident: Incident, *, still: bool) -> IncidentPage:
    touched = touched_by(desk.studio, desk.day, incident)
    groups = {how: [batch.batch for batch in touched if batch.touch is how] for how in Touch}
    return IncidentPage(
        line=incident_line(desk, incident),
        told=_told(desk, incident),
        is_open=still,
        word=Word(**desk.words.phrases["incidents"]["open" if still else "closed"]),
        state=_state(desk, incident, still=still),
        reached=tuple(_reached(desk, how, them) for how, them in groups.items() if them),
        address=desk.studio.info.address,
        nobody=desk.phrase("recall.none"),
        all_here=desk.phrase("recall.all_here"),
        notice=notice_of(desk, incident),
        notice_lead=desk.phrase("papers.notice.lead"),
        notes=incident.source.body,
        more=beside_of(desk, incident.source),
        own_tests=desk.phrase("own_tests"),
    )


def _told(desk: Desk, incident: Incident) -> date | None:
    """Return the day on which an incident was told, where that was later, and by this day."""
    told = known_from(incident)
    return told if incident.on < told <= desk.day else None


def _state(desk: Desk, incident: Incident, *, still: bool) -> str:
    if still or incident.closed is None:
        return desk.phrase("recall.open")
    on = desk.words.day(incident.closed.on)
    return desk.phrase("recall.closed", on=on, finding=incident.closed.finding)


def _reached(desk: Desk, how: Touch, batches: Iterable[str]) -> Reached:
    lines = batch_lines(desk, batches)
    records = [desk.studio.batches[line.link.path.rpartition("/")[2]] for line in lines]
    return Reached(
        why=desk.phrase(f"touches.{how}"),
        batches=lines,
        made=sum(line.made for line in lines),
        out=sum(line.out for line in lines),
        left=sum(line.left for line in lines),
        handed=handed_from(desk, records),
    )


def known_incidents(desk: Desk) -> tuple[Incident, ...]:
    """Return the incidents reported by the day, the newest first."""
    known = (incident for incident in desk.studio.incidents.values() if incident.on <= desk.day)
    return tuple(sorted(known, key=lambda one: one.number, reverse=True))
