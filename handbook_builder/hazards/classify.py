"""Which classes a finished candle has, what its label must say, and how each came about."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from handbook_builder.hazards.acute import Gap, acute_families, acute_gaps, acute_told
from handbook_builder.hazards.additive import airway_families, aspiration, eye_family, skin_family
from handbook_builder.hazards.alone import Elicitation, alone_families, elicitations
from handbook_builder.hazards.aquatic import acute_family, chronic_family, unsaid_factors
from handbook_builder.hazards.component import (
    Component,
    Note,
    Substance,
    shares_by_key,
    substances,
)
from handbook_builder.hazards.label import hazard_statements, pictograms, signal_word
from handbook_builder.hazards.threshold import Family, Threshold, Working, working
from handbook_builder.hazards.wording import in_order

_CORROSIVE: Final = "Skin Corr."
_DAMAGED: Final = "Eye Dam. 1"
# Art. 18(3)(b) (read): components that bring about one of these are named on the label.
_NAMED_FOR: Final = (
    "Acute Tox.", "Skin Corr.", "Eye Dam.", "Resp. Sens.", "Skin Sens.", "Muta.", "Carc.", "Repr.",
    "Lact.", "STOT",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Ignored:
    """A hazard of a component that the candle does not take over, and why.

    `why` is "below_cut_off", with the share from which on it would count, or "solid_candle" for
    what only a liquid has.
    """

    name: str
    cas: str
    hazard: str
    share: Fraction
    limit: Fraction | None
    why: str


@dataclass(frozen=True, slots=True)
class Result:
    """The hazards of a candle.

    `complete` is False when anything is `missing`: the classes are then the least that are known
    of, and never all. `classes` are in the order of Annex I, `pictograms`, `h` in that of their
    numbers, `euh208` and `contains` by name. `told` are unclear points that were taken on the safe
    side, `by_hand` those that somebody must check.
    """

    complete: bool
    missing: tuple[Note, ...]
    classes: tuple[str, ...]
    signal: str | None
    pictograms: tuple[str, ...]
    h: tuple[str, ...]
    euh208: tuple[str, ...]
    contains: tuple[str, ...]
    ignored: tuple[Ignored, ...]
    workings: tuple[Working, ...]
    told: tuple[Note, ...]
    by_hand: tuple[Note, ...]

    def working_of(self, outcome: str) -> Working:
        """Return how a class of this candle came about. KeyError for one that it has not."""
        for came_out in self.workings:
            if came_out.reached and came_out.outcome == outcome:
                return came_out
        raise KeyError(outcome)


@dataclass(frozen=True, slots=True)
class Rulebook:
    """The rules for certain substances, whatever their shares."""

    substances: tuple[Substance, ...]
    families: tuple[Family, ...]
    aspiration: Threshold
    elicitations: tuple[Elicitation, ...]
    gaps: tuple[Gap, ...]

    @classmethod
    def of(cls, held: tuple[Substance, ...]) -> "Rulebook":
        """Return the rules for these substances."""
        return cls(
            substances=held,
            families=(
                *acute_families(held),
                skin_family(held),
                eye_family(held),
                *alone_families(held),
                *airway_families(held),
                acute_family(held),
                chronic_family(held),
            ),
            aspiration=aspiration(held),
            elicitations=elicitations(held),
            gaps=acute_gaps(held),
        )

    def result(self, shares: Mapping[str, Fraction], *, accounted_for: bool) -> Result:
        """Return the hazards of a candle that holds the substances at these shares."""
        workings = _with_damage(
            tuple(came_out for family in self.families for came_out in _examined(family, shares))
        )
        aspirated = working(self.aspiration, shares)
        classes = in_order(frozenset(rule.outcome for rule in workings if rule.reached))
        elicited = [
            sensitiser
            for sensitiser in self.elicitations
            if shares[sensitiser.key] >= sensitiser.limit
        ]
        is_sensitising = any("Sens." in word for word in classes)
        names = sorted(sensitiser.name for sensitiser in elicited)
        missing = _missing(self, shares, classes, accounted_for=accounted_for)
        return Result(
            complete=not missing,
            missing=missing,
            classes=classes,
            signal=signal_word(classes),
            pictograms=pictograms(classes),
            h=hazard_statements(classes),
            euh208=() if is_sensitising else tuple(names),
            contains=_contains(self.families, shares, names if is_sensitising else ()),
            ignored=_ignored(self, shares),
            workings=(*workings, *((aspirated,) if aspirated.parts else ())),
            told=_told(self.substances),
            by_hand=_by_hand(self, aspirated),
        )


def classify(components: Sequence[Component], *, accounted_for: bool = True) -> Result:
    """Return the hazards of a finished candle from its `components`, at their shares of it.

    What is not listed is taken to have no hazard, so the list must be whole: `accounted_for` says
    whether it is, and without it the result is incomplete. So is it with a component whose hazards
    are unknown, a class word that no rule knows, a missing M-factor that could matter, an acute
    class whose route is unsaid, an estimate against its class, or a limit without its class.
    """
    book = Rulebook.of(substances(components))
    return book.result(shares_by_key(components), accounted_for=accounted_for)


def _examined(family: Family, shares: Mapping[str, Fraction]) -> tuple[Working, ...]:
    """Return how the rules of a family came out, up to the first that is reached.

    Of acute toxicity only the one that decides is told: all of a route hold the same estimate.
    """
    examined = []
    for threshold in family:
        came_out = working(threshold, shares)
        if came_out.parts:
            examined.append(came_out)
        if came_out.reached:
            break
    is_acute = family[0].ate_limit is not None
    return tuple(examined[-1:] if is_acute else examined)


def _with_damage(workings: tuple[Working, ...]) -> tuple[Working, ...]:
    """Return the workings with the eye damage that goes with a mixture that corrodes skin.

    Annex I 3.3.2 (M); Canada's HPR 8.3.2(4) says so of substances (C).
    """
    reached = [rule for rule in workings if rule.reached]
    corrosive = next((rule for rule in reached if rule.outcome.startswith(_CORROSIVE)), None)
    if corrosive is None or any(rule.outcome == _DAMAGED for rule in reached):
        return workings
    follows = replace(
        corrosive, rule="eye_by_skin", outcome=_DAMAGED, clause="Annex I 3.3.2", sure="M"
    )
    rest = [rule for rule in workings if not (rule.reached and rule.outcome == "Eye Irrit. 2")]
    return (*rest, follows)


def _contains(
    families: Iterable[Family], shares: Mapping[str, Fraction], sensitisers: Iterable[str]
) -> tuple[str, ...]:
    """Return the names that must stand on the label.

    Those that bring about a class of Art. 18(3)(b), also where a severer one of the same hazard
    stands in its place: whoever is above its own limit is responsible (ECHA's answer on whom to
    name, S). In a sensitising mixture every sensitiser at or above its elicitation limit as well
    (Annex II 2.8, second paragraph).
    """
    rules = (threshold for family in families for threshold in family)
    named_for = (rule for rule in rules if rule.outcome.startswith(_NAMED_FOR))
    workings = (working(rule, shares) for rule in named_for)
    brought = {part.name for came_out in workings if came_out.reached for part in came_out.through}
    return tuple(sorted(brought | set(sensitisers)))


def _missing(
    book: Rulebook,
    shares: Mapping[str, Fraction],
    classes: Sequence[str],
    *,
    accounted_for: bool,
) -> tuple[Note, ...]:
    """Return all that is not known and could make the result another."""
    missing = [] if accounted_for else [Note("not_accounted_for")]
    for substance in book.substances:
        if substance.is_unknown:
            missing.append(substance.note("hazards_unknown"))
        missing += [substance.note("word_unknown", word) for word in substance.unread]
        missing += [substance.note("limit_without_class", word) for word in substance.stray_limits]
    missing += [gap.note for gap in book.gaps if shares[gap.key] >= gap.from_share]
    missing += [
        substance.note(code, word)
        for substance, code, word in unsaid_factors(book.substances)
        if word not in classes
    ]
    return tuple(missing)


def _ignored(book: Rulebook, shares: Mapping[str, Fraction]) -> tuple[Ignored, ...]:
    """Return the hazards below the least share from which on any rule counts them."""
    floors = _floors(book)
    ignored = []
    for substance in book.substances:
        share = shares[substance.key]
        place = (substance.name, substance.cas)
        ignored += [
            Ignored(*place, word, share, None, "solid_candle")
            for word in sorted(substance.words)
            if word.startswith("Flam. Liq.")
        ]
        ignored += [
            Ignored(*place, word, share, floor, "below_cut_off")
            for (key, word), floor in floors.items()
            if key == substance.key and share < floor
        ]
    return tuple(ignored)


def _floors(book: Rulebook) -> Mapping[tuple[str, str], Fraction]:
    """Return from which share on each hazard of each substance counts for anything."""
    rules = [threshold for family in book.families for threshold in family]
    floors: dict[tuple[str, str], Fraction] = {}
    for threshold in (*rules, book.aspiration):
        for term in threshold.terms:
            place = (term.key, term.hazard)
            floors[place] = min(term.cut_off, floors.get(place, term.cut_off))
    for elicited in book.elicitations:
        for word in elicited.hazards:
            place = (elicited.key, word)
            floors[place] = min(elicited.limit, floors[place])
    return floors


def _told(held: Iterable[Substance]) -> tuple[Note, ...]:
    told = tuple(held)
    return (*(note for substance in told for note in substance.told), *acute_told(told))


def _by_hand(book: Rulebook, aspirated: Working) -> tuple[Note, ...]:
    """Return what somebody must check: doubtful elicitation limits, and aspiration by its sum."""
    doubts = tuple(note for elicited in book.elicitations for note in elicited.by_hand)
    return (*doubts, *((Note("aspiration_solid"),) if aspirated.reached else ()))
