"""Why there is no label, and what is unclear in its hazards, in words."""

from collections.abc import Iterable

from handbook_builder.derived.label.refusal import Refusal
from handbook_builder.hazards.component import Note
from handbook_builder.labels.placed import Panel, TooSmall
from handbook_builder.pages.desk import Desk


def refusal_said(desk: Desk, refusal: Refusal) -> str:
    """Return one reason against a label as a sentence."""
    details = {name: _shown(desk, value) for name, value in refusal.details.items()}
    fit = refusal.details.get("fit")
    if isinstance(fit, TooSmall):
        details |= {"fit": _fit(desk, fit), "has": panel_said(desk, fit.panel)}
        details["face"] = desk.phrase(f"label.faces.{refusal.details['face']}").lower()
    return desk.phrase(f"label.refused.{refusal.code}", **details)


def _shown(desk: Desk, value: object) -> str:
    if isinstance(value, tuple):
        return "; ".join(note_said(desk, note) for note in value) + "."
    return str(value).replace("_", " ")


def note_said(desk: Desk, note: Note) -> str:
    """Return what a reader must know about a component."""
    name = note.name.replace("-", " ")
    return desk.phrase(f"label.notes.{note.code}", name=name, cas=note.cas, detail=note.detail)


def notes_said(desk: Desk, notes: Iterable[Note]) -> tuple[str, ...]:
    """Return several such sentences, each once, with a capital and a full stop."""
    said = (note_said(desk, note) for note in notes)
    return tuple(dict.fromkeys(f"{text[:1].upper()}{text[1:]}." for text in said))


def panel_said(desk: Desk, panel: Panel) -> str:
    """Return how large a panel is."""
    if panel.is_round:
        return desk.phrase("label.fit.across", mm=_mm(desk, panel.width_mm)).removeprefix("or ")
    width, height = _mm(desk, panel.width_mm), _mm(desk, panel.height_mm)
    return desk.phrase("label.size", width=width, height=height)


def _mm(desk: Desk, value: float) -> str:
    return desk.words.quantity(value, "mm")


def _fit(desk: Desk, fit: TooSmall) -> str:
    """Return what would fit: wider, higher, of good proportion, or round."""
    said = [
        desk.phrase(f"label.fit.{name}", mm=_mm(desk, mm))
        for name, mm in (("width", fit.width_mm), ("height", fit.height_mm))
        if mm is not None
    ]
    if fit.good_mm is not None:
        width, height = (_mm(desk, side) for side in fit.good_mm)
        said.append(desk.phrase("label.fit.good", width=width, height=height))
    if fit.across_mm is not None:
        said.append(desk.phrase("label.fit.across", mm=_mm(desk, fit.across_mm)))
    return ", ".join(said) or desk.phrase("label.fit.nothing")
