"""What contradicts a verdict as a problem with its message, in the studio's own words."""

from collections.abc import Iterator

from handbook_builder.faults.poured import Unfounded
from handbook_builder.problems import Problem, problem
from handbook_builder.verdicts.approval import Product
from handbook_builder.verdicts.screening import Screening
from handbook_builder.words import Words


def told(batch: Unfounded, words: Words) -> Problem:
    """Return what is wrong with a batch that no proof stood behind."""
    missing = "" if batch.poured is None else " ".join(_missing(words, batch.poured))
    return problem(batch.place, batch.code, {**batch.details, "missing": missing})


def _missing(words: Words, product: Product) -> Iterator[str]:
    """Yield what was missing, each with its line."""
    yield from (f"{words.say(reason)} ({reason.place})" for reason in product.missing)
    yield from _uncounted(words, product)


def _uncounted(words: Words, product: Product) -> Iterator[str]:
    """Yield why each candle of the recipe does not count, with the line that says so."""
    for miss in product.near_misses:
        source = miss.candle.seen.burn.source
        yield words.phrases["why"]["near_miss"].format(
            candle=miss.candle.seen.burn.candle,
            verdict=words.verdict(miss.candle.verdict).word.lower(),
            differences=", ".join(
                f"{words.difference(difference)} ({source.place(_key_of(difference.factor))})"
                for difference in miss.differences
            ),
        )
    if product.screened.screening is not Screening.CLEARED:
        for reason in product.screened.reasons:
            yield f"{words.say(reason)} {words.mend(reason)} ({reason.place})"
    for candle in product.evidence.incomplete:
        for reason in candle.gaps:
            yield f"{words.say(reason)} ({reason.place})"


def _key_of(factor: str) -> str:
    """Return the key of a burn that a factor of a make-up was read from."""
    return "made" if factor == "net" else f"made.{factor.removesuffix('_share')}"
