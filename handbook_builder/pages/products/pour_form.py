"""What is told of a pour once it is done: the form on the pour sheet that hands over a batch."""

from collections.abc import Mapping
from dataclasses import dataclass

from handbook_builder.pages.bench.understood import Told, understood
from handbook_builder.pages.desk import Desk, ref_link
from handbook_builder.reading.refs import Ref


@dataclass(frozen=True, slots=True)
class Went:
    """Something that went in: by its lot, and by its mass where it is weighed."""

    item: Ref
    title: str
    is_weighed: bool


@dataclass(frozen=True, slots=True)
class PourForm:
    """What the form asks, its words and those of the bench, and all that its script is told."""

    items: tuple[Went, ...]
    helpers: tuple[str, ...]
    words: Mapping[str, object]
    bench: Mapping[str, object]
    told: Told


def form_of(
    desk: Desk, ident: str, weighed: tuple[Ref, ...], counted: tuple[Ref, ...], unit: str
) -> PourForm:
    """Return the form of a product; a bare mass is in the unit of its scale."""
    pages = desk.words.phrases["pages"]
    words, bench = pages["pour"]["done"], pages["bench"]
    items = [(item, item in weighed) for item in (*weighed, *counted)]
    return PourForm(
        items=tuple(Went(item, ref_link(item).title, is_weighed) for item, is_weighed in items),
        helpers=tuple(one for one, who in sorted(desk.studio.helpers.items()) if "pour" in who.may),
        words=words,
        bench=bench,
        told={
            "edition": desk.edition.value,
            "recipe": ident,
            "code": desk.account.products[ident].code,
            "unit": unit,
            "understood": understood(),
            "said": {**bench["said"], **words["said"]},
            "words": bench["buttons"],
            "future": desk.words.phrases["new_and_log"]["future"],
        },
    )
