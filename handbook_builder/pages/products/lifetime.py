"""How long a product's candles lasted, and what a label may say of it."""

from dataclasses import dataclass

from handbook_builder.pages.desk import Desk
from handbook_builder.verdicts.approval import Product


@dataclass(frozen=True, slots=True)
class LifeShown:
    """How long the candles lasted and how fast they burned.

    `claim` is None where a label may say nothing, and `claim_why` says what it rests on, or why.
    `to_stop` is the shortest life to the stop mark, `shortest` and `mean` are to the end.
    """

    claim: str | None
    claim_why: str
    to_stop: str | None
    shortest: str
    mean: str
    interval: str
    rate: str | None
    candles: int


def life_shown(desk: Desk, product: Product) -> LifeShown | None:
    """Return the lives of the passed candles in words, or None when none has passed."""
    figures = desk.account.products[product.recipe.source.id]
    if figures.life is None:
        return None
    show, rate, to_stop = desk.words.quantity, figures.rate_g_per_h, figures.to_stop.life
    return LifeShown(
        claim=claim_shown(desk, product),
        claim_why=claim_why(desk, product),
        to_stop=None if to_stop is None else show(to_stop.shortest_h, "h"),
        shortest=show(figures.life.shortest_h, "h"),
        mean=show(figures.life.mean_h, "h"),
        interval=interval(desk, product),
        rate=None if rate is None else desk.phrase("rate", rate=f"{rate:.2f}"),
        candles=len(product.evidence.passed),
    )


def claim_shown(desk: Desk, product: Product) -> str | None:
    """Return the hours that a label may claim, or None when it may claim nothing."""
    hours = desk.account.products[product.recipe.source.id].to_stop.claim_h
    return None if hours is None else desk.phrase("lifetimes.claim", hours=hours)


def claim_why(desk: Desk, product: Product) -> str:
    """Return what the claim rests on, or why there is none."""
    found = desk.account.products[product.recipe.source.id].to_stop
    stop_at = desk.words.quantity(desk.studio.protocol.stop_at_mm, "mm")
    if not found.is_approved:
        return desk.phrase("lifetimes.not_approved")
    if found.life is None:
        return desk.phrase("lifetimes.not_seen", stop_at=stop_at)
    if found.claim_h is None:
        return desk.phrase("lifetimes.too_wide", stop_at=stop_at)
    return desk.phrase("lifetimes.claimed", stop_at=stop_at)


def interval(desk: Desk, product: Product, form: str = "interval") -> str:
    """Return between what times one more candle would last, in a sentence or in the short form."""
    life = desk.account.products[product.recipe.source.id].life
    if life is None or life.low_h is None or life.high_h is None:
        return desk.phrase("lifetimes.too_few")
    low, high = (desk.words.quantity(hours_h, "h") for hours_h in (life.low_h, life.high_h))
    return desk.phrase(f"lifetimes.{form}", low_h=low, high_h=high)
