"""Catalogues of what labels say, a file a language: `site_templates/statements/en.yml`.

They are read like records, with the place of every fault: a studio writes those of its own
languages by hand.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from handbook_builder.problems import Place, Problem, in_order, problem
from handbook_builder.reading.fields import Bad, Reader, Report, choice, text
from handbook_builder.reading.lists import table
from handbook_builder.reading.nodes import Node, compose
from handbook_builder.reading.shape import nested, read_shape, required, shape

_NUMBER: Final = re.compile(r"(EUH|H)[0-9]{3}|P[0-9]{3}(\+P[0-9]{3})*")
NAMING: Final = "EUH208"  # the one statement that names components


@shape
class Statement:
    """One statement: its `text`, and how surely it was read: C, S or M."""

    text: str = required(text, "what the label says")
    sure: str = required(choice("C", "S", "M"), "C, S or M")


def _with_blank(blank: str) -> Reader[Statement]:
    """Return a reader of a statement that says where something is filled in."""

    def read(node: Node, report: Report, key: str) -> Statement | Bad:
        found = read_shape(Statement, node, report, key)
        if isinstance(found, Bad) or found.text.count(blank) == 1:
            return found
        return report.bad(node, "statement_without_blank", key=key, blank=blank)

    return read


def _number(node: Node, report: Report, key: str) -> str | Bad:
    """Read the number of a statement."""
    found = text(node, report, key)
    if isinstance(found, Bad) or _NUMBER.fullmatch(found):
        return found
    return report.bad(node, "no_statement_number", found=found)


def _statement(node: Node, report: Report, key: str) -> Statement | Bad:
    """Read one statement by its number; the one that names components needs a place for them."""
    if key == NAMING:
        return _with_blank("{names}")(node, report, key)
    return read_shape(Statement, node, report, key)


# What a caution leaves open, for the figures of the candle at hand. A catalogue may leave a caution
# out: a label that is due to say it is then refused.
CAUTIONS: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "heading": (),
        "within_sight": (),
        "from_what_burns": (),
        "from_children_and_pets": (),
        "burn_at_most": ("{hours}",),
        "trim": ("{trim}",),
        "stop_at": ("{left}",),
        "firm_surface": (),
        "cracked": (),
        "hot_metal": (),
        "net": ("{grams}",),
        "net_us": ("{ounces}", "{grams}"),
        "unscented": (),
        "batch": ("{batch}",),
        "ufi": (),
        "test_candle": (),
        "test_letter": ("{letter}",),
    }
)


@shape
class _Said:
    """One caution: its `text`, and how surely it was read; X says that the words are ours."""

    text: str = required(text, "what the label says")
    sure: str = required(choice("C", "S", "M", "X"), "C, S, M or X")


def _caution(node: Node, report: Report, key: str) -> Statement | Bad:
    """Read a caution by its name, with a place for each figure that it tells."""
    found = read_shape(_Said, node, report, key)
    if isinstance(found, Bad):
        return found
    for blank in CAUTIONS.get(key, ()):
        if found.text.count(blank) != 1:
            return report.bad(node, "statement_without_blank", key=key, blank=blank)
    return Statement(text=found.text, sure=found.sure)


_caution_name: Final = choice(*CAUTIONS)


@shape
class _Written:
    """A catalogue as its file has it."""

    language: str = required(text, "the name of the language")
    danger: Statement = required(nested(Statement), "the signal word Danger")
    warning: Statement = required(nested(Statement), "the signal word Warning")
    contains: Statement = required(_with_blank("{names}"), "how components are named")
    unknown_acute: Statement = required(_with_blank("{share}"), "what the unknown share is called")
    statements: Mapping[str, Statement] = required(
        table(_number, _statement, 1), "the statements by their numbers"
    )
    cautions: Mapping[str, Statement] = required(
        table(_caution_name, _caution, 1), "the cautions by their names"
    )


@dataclass(frozen=True, slots=True)
class Catalogue:
    """What labels say in one language. `file` is where it stands."""

    file: str
    language: str
    signals: Mapping[str, Statement]
    contains: Statement
    unknown_acute: Statement
    statements: Mapping[str, Statement]
    cautions: Mapping[str, Statement]

    def lacking(self, due: Iterable[str]) -> tuple[Problem, ...]:
        """Return the problem of a catalogue without a statement that is `due`, or none.

        One problem lists all of them: a label is then refused, and this is what to fill in.
        """
        known = {*self.statements, *self.cautions}
        missing = [name for name in dict.fromkeys(due) if name not in known]
        if not missing:
            return ()
        details = {"found": ", ".join(missing), "language": self.language, "first": missing[0]}
        return (problem(Place(self.file), "statements_lacking", details),)

    def said(self, number: str, names: Iterable[str] = ()) -> str:
        """Return what a statement says, with `names` where it names components.

        KeyError for a statement that is `lacking`.
        """
        return self.statements[number].text.replace("{names}", ", ".join(names))

    def caution(self, name: str, **figures: str) -> str:
        """Return what a caution says of a candle with these figures.

        KeyError for a caution that is `lacking`.
        """
        return self.cautions[name].text.format_map(figures)


def read_catalogue(written: str, file: str) -> tuple[Catalogue | None, tuple[Problem, ...]]:
    """Return the catalogue written in the YAML `written`, or None and every problem in it."""
    root, problems = compose(written, file, 1, "catalogue_unreadable")
    if root is None:
        unsaid = problem(Place(file), "catalogue_unreadable", {"reason": "it is empty"})
        return None, in_order(problems or (unsaid,))
    report = Report(file, list(problems))
    found = read_shape(_Written, root, report, "")
    if isinstance(found, Bad) or report.problems:
        return None, in_order(report.problems)
    signals = {"Danger": found.danger, "Warning": found.warning}
    return Catalogue(
        file=file,
        language=found.language,
        signals=MappingProxyType(signals),
        contains=found.contains,
        unknown_acute=found.unknown_acute,
        statements=found.statements,
        cautions=found.cautions,
    ), ()
