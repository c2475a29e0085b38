"""An incident reaches every product that rests on a candle of what it is about.

The shares are by hand, of wax and oil together: 8 g in 108 g are 7.407 %, 8.15 g in 108.15 g are
7.536 %, 8.3 g in 108.3 g are 7.664 %. The tolerance is 0.2 points.
"""

import pytest

from tests.records_in_text import BASE, RECIPE, WICK, burn, proven
from tests.verdicts.told import codes, judged

INCIDENT = "---\nnumber: 1\non: 2026-04-10\nabout: {about}\nwhat: It smoked.\n---\n"
BATCH = "---\nrecipe: near\non: 2026-04-05\nmade: 6\nby: the maker\nlots: {}\n---\n"
NEAR = RECIPE.replace("8 %", "8.3 %").replace("Fig", "Near")


def statuses(oil: str, about: str, near: str = NEAR, recipe: str = "fig") -> dict[str, str]:
    """Return how two recipes stand, three candles with `oil` filed under one of them."""
    files = {**BASE, "recipes/near.md": near, "batches/april.md": BATCH}
    for one in "abc":
        text = burn(one.upper(), oil=oil).replace("recipe: fig\n", f"recipe: {recipe}\n")
        files[f"burns/fig-{one}.md"] = text
    files["incidents/one.md"] = INCIDENT.format(about=about)
    return {one: each.status.value for one, each in judged(files).products.items()}


@pytest.mark.parametrize("about", ["recipes/near", "batches/april"])
@pytest.mark.parametrize(
    ("oil", "fig"),
    # 7.463 % is beyond 0.2 points of 7.664 %; 7.467 % and 7.536 % are within.
    [("8.0 g", "approved"), ("8.065 g", "approved"), ("8.07 g", "suspended"),
     ("8.15 g", "suspended")],
)  # fmt: skip
def test_a_near_twin_under_an_incident(about: str, oil: str, fig: str) -> None:
    """Two recipes beyond the tolerances of one another, and candles that prove both."""
    assert statuses(oil, about)["fig"] == fig


def test_it_reaches_both_ways() -> None:
    """The near twin rests on the same candles."""
    assert statuses("8.15 g", "recipes/fig") == {"fig": "suspended", "near": "suspended"}
    assert statuses("8.0 g", "recipes/fig") == {"fig": "suspended", "near": "untested"}


def test_an_incident_about_what_only_the_twin_holds_is_the_twins() -> None:
    """About another item it says nothing of this candle."""
    boxed = NEAR.replace("fill:", "packaging: {box: 1}\nfill:")
    files = {**proven(), "recipes/near.md": boxed, "packaging/box.md": "---\nform: box\n---\n",
             "incidents/one.md": INCIDENT.format(about="packaging/box")}  # fmt: skip
    for one in "abc":
        files[f"burns/fig-{one}.md"] = burn(one.upper(), oil="8.15 g")
    found = {one: each.status.value for one, each in judged(files).products.items()}
    assert found == {"fig": "approved", "near": "suspended"}


@pytest.mark.parametrize("about", ["recipes/near", "batches/april"])
def test_a_recipe_under_which_the_proof_is_filed(about: str) -> None:
    """However far it lies now from what was weighed."""
    far = RECIPE.replace("8 %", "4 %").replace("Fig", "Near")
    assert statuses("8.0 g", about, far, "near") == {"fig": "suspended", "near": "suspended"}
    assert statuses("8.0 g", about, far)["fig"] == "approved"


def test_a_candle_that_proves_nothing_makes_no_twin() -> None:
    """Only what passed is proof: a candle that still burns, filed under the other, is none."""
    far = RECIPE.replace("cotton-8", "cotton-10").replace("Fig", "Near")
    more = {"recipes/near.md": far, "wicks/cotton-10.md": WICK, "batches/april.md": BATCH}
    unlit = burn("A", candles=1, cycles=[], end="").replace("recipe: fig\n", "recipe: near\n")
    files = {**proven(), **more, "burns/near-a.md": unlit,
             "incidents/one.md": INCIDENT.format(about="recipes/near")}  # fmt: skip
    product = judged(files).products["fig"]
    assert [one.id for one in product.evidence.burning] == ["near-a"]
    assert product.status == "approved"
    passed = burn("A", candles=1, oil="8.02 g").replace("recipe: fig\n", "recipe: near\n")
    passed = passed.replace("400.0", "401.0").replace("374.0", "375.0").replace("348.0", "349.0")
    passed = passed.replace("322.0", "323.0").replace("301.0", "302.0")
    assert codes(judged({**files, "burns/near-a.md": passed}).products["fig"].missing) == [
        "open_incident"
    ]
