"""What labels are made with: the catalogues of a studio's languages, the measures of the fonts."""

from collections.abc import Mapping
from functools import cache

from handbook_builder.derived.label.made import USUAL_LANGUAGE, Press
from handbook_builder.problems import Place, Problem, problem
from handbook_builder.reading.statements import Catalogue, read_catalogue
from handbook_builder.shipped import templates_folder


def file_of(language: str) -> str:
    """Return where the statements of a language stand, below the templates."""
    return f"statements/{language}.yml"


def catalogue_of(
    language: str, written: str | None
) -> tuple[Catalogue | None, tuple[Problem, ...]]:
    """Return what labels say in a language by the text of its file, or what is wrong with it.

    Without a file there is a problem that says what to write.
    """
    shown = f"site_templates/{file_of(language)}"
    if written is None:
        return None, (problem(Place(shown), "no_catalogue", {"found": language}),)
    return read_catalogue(written, shown)


def press_from(written: Mapping[str, str | None]) -> tuple[Press, tuple[Problem, ...]]:
    """Return what labels are made with, by the files of the languages, and their faults.

    A language without a file is no fault: its labels are refused by name.
    """
    from handbook_builder.labels.fonts import typefaces  # noqa: PLC0415 -- its library loads slowly

    read = {language: catalogue_of(language, text) for language, text in written.items()}
    known = {language: found for language, (found, _) in read.items() if found is not None}
    faults = [
        fault
        for language, (_, problems) in read.items()
        if written[language] is not None
        for fault in problems
    ]
    return Press(known, typefaces()), tuple(faults)


@cache
def shipped_press() -> Press:
    """Return what labels are made with when a studio has no catalogue of its own: English."""
    english = (templates_folder() / file_of(USUAL_LANGUAGE)).read_text("utf-8")
    return press_from({USUAL_LANGUAGE: english})[0]
