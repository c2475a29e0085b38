"""Loads on the wax and of the total, and the masses that they come to."""

import math
from dataclasses import FrozenInstanceError

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from handbook_builder.figures.load import (
    MakeUp,
    Masses,
    blended_limit,
    make_up_on_total,
    make_up_on_wax,
    masses,
    measured_make_up,
    rounded_masses,
    total_load_on_wax,
)

SMALL = st.dictionaries(st.sampled_from("abc"), st.floats(0.0, 0.2), max_size=3)


@st.composite
def waxes(draw: st.DrawFn) -> dict[str, float]:
    """Draw one to three waxes with shares that add up to 1."""
    parts = draw(st.lists(st.floats(0.05, 1.0), min_size=1, max_size=3))
    return {f"wax-{at}": one / sum(parts) for at, one in enumerate(parts)}


def total_g(weighed: Masses) -> float:
    """Return what everything weighed adds up to."""
    parts = (weighed.wax_g, weighed.fragrance_g, weighed.colorant_g)
    return math.fsum(mass for part in parts for mass in part.values())


# Arithmetic of the two bases that suppliers state a load on; computed from the formulas.
@pytest.mark.parametrize(
    ("on_wax", "of_total"),
    [(0.0, 0.0), (0.10, 0.090909), (0.111111, 0.10), (0.08, 0.07407), (1.0, 0.5)],
)
def test_the_two_bases(on_wax: float, of_total: float) -> None:
    """10 % of the wax is 9.0909 % of the total, and 10 % of the total is 11.1111 % of the wax."""
    by_wax = make_up_on_wax({"soy": 1.0}, {"cedar": on_wax}, {})
    assert by_wax.fragrance["cedar"] == pytest.approx(of_total, abs=5e-6)
    by_total = make_up_on_total({"soy": 1.0}, {"cedar": of_total}, {})
    assert total_load_on_wax(by_total) == pytest.approx(on_wax, abs=5e-6)


@given(st.floats(0.0, 0.9))
def test_the_bases_go_round(share: float) -> None:
    """There and back is where it began, and a share is never more than the load."""
    load = total_load_on_wax(make_up_on_total({"soy": 1.0}, {"cedar": share}, {}))
    again = make_up_on_wax({"soy": 1.0}, {"cedar": load}, {})
    assert again.fragrance["cedar"] == pytest.approx(share, rel=1e-12)
    assert load >= share


@pytest.mark.parametrize("load", [-0.01, math.nan, math.inf])
def test_impossible_load(load: float) -> None:
    """A load is a finite number, 0 or above."""
    with pytest.raises(ValueError, match=r"^fragrance must be a finite number, 0 or above"):
        make_up_on_wax({"soy": 1.0}, {"cedar": load}, {})


def test_make_up_on_wax() -> None:
    """On one part of wax 0.06 and 0.02 of oils and 0.02 of colorant make 1.10 parts."""
    made = make_up_on_wax({"soy": 1.0}, {"cedar": 0.06, "fig": 0.02}, {"ochre": 0.02})
    assert dict(made.wax) == {"soy": 1.0}
    assert dict(made.fragrance) == pytest.approx({"cedar": 0.06 / 1.10, "fig": 0.02 / 1.10})
    assert dict(made.colorant) == {"ochre": 0.02}


def test_make_up_on_total_is_as_stated() -> None:
    """Shares of the finished candle are kept as they are."""
    made = make_up_on_total({"soy": 0.7, "palm": 0.3}, {"cedar": 0.08}, {"ochre": 0.01})
    assert made == MakeUp({"soy": 0.7, "palm": 0.3}, {"cedar": 0.08}, {"ochre": 0.01})


def test_measured_make_up() -> None:
    """Masses become shares: waxes and colorants of the wax, oils of the finished candle."""
    made = measured_make_up({"soy": 120.0, "palm": 40.0}, {"cedar": 16.0}, {"ochre": 8.0})
    assert dict(made.wax) == {"soy": 0.75, "palm": 0.25}
    assert dict(made.fragrance) == {"cedar": 16.0 / 184.0}
    assert dict(made.colorant) == {"ochre": 0.05}
    assert total_load_on_wax(made) == pytest.approx(0.1, rel=1e-14)


def test_a_candle_without_wax() -> None:
    """What holds no wax is no candle."""
    with pytest.raises(ValueError, match=r"^the mass of wax must be"):
        measured_make_up({}, {"cedar": 16.0}, {})


@given(waxes(), SMALL, SMALL)
def test_the_load_stated_is_the_load_found(
    wax: dict[str, float], loads: dict[str, float], colorant: dict[str, float]
) -> None:
    """The load on the wax comes back from the shares that it was turned into."""
    made = make_up_on_wax(wax, loads, colorant)
    assert total_load_on_wax(made) == pytest.approx(sum(loads.values()), rel=1e-12, abs=1e-15)


@given(waxes(), SMALL, SMALL)
def test_without_colorant_the_bases_are_the_plain_ones(
    wax: dict[str, float], loads: dict[str, float], colorant: dict[str, float]
) -> None:
    """A make-up without colorant has the share r / (1 + r); colorant makes it less."""
    plain, load = sum(make_up_on_wax(wax, loads, {}).fragrance.values()), sum(loads.values())
    assert plain == pytest.approx(load / (1 + load), rel=1e-12, abs=1e-300)
    assert sum(make_up_on_wax(wax, loads, colorant).fragrance.values()) <= plain


@given(waxes(), SMALL, SMALL, st.floats(1.0, 2000.0))
def test_masses_close_and_measure_back(
    wax: dict[str, float], shares: dict[str, float], colorant: dict[str, float], net_g: float
) -> None:
    """The masses add up to the net fill, and weighed they give the make-up that they came from."""
    made = make_up_on_total(wax, shares, colorant)
    weighed = masses(made, net_g)
    assert total_g(weighed) == pytest.approx(net_g, rel=1e-12)
    again = measured_make_up(weighed.wax_g, weighed.fragrance_g, weighed.colorant_g)
    for name in ("wax", "fragrance", "colorant"):
        assert dict(getattr(again, name)) == pytest.approx(dict(getattr(made, name)), rel=1e-9)


def test_masses_by_hand() -> None:
    """A candle of 220 g at 10 % on the wax takes 200 g of wax and 20 g of oil."""
    weighed = masses(make_up_on_wax({"soy": 0.6, "palm": 0.4}, {"cedar": 0.1}, {}), 220.0)
    assert dict(weighed.wax_g) == pytest.approx({"soy": 120.0, "palm": 80.0})
    assert dict(weighed.fragrance_g) == pytest.approx({"cedar": 20.0})
    assert dict(weighed.colorant_g) == {}


def test_colorant_is_weighed_by_the_wax() -> None:
    """At 25 % of colorant on the wax and half of oil, 200 g are 80, 100 and 20 g."""
    weighed = masses(make_up_on_total({"soy": 1.0}, {"cedar": 0.5}, {"ochre": 0.25}), 200.0)
    assert dict(weighed.wax_g) == {"soy": 80.0}
    assert dict(weighed.fragrance_g) == {"cedar": 100.0}
    assert dict(weighed.colorant_g) == {"ochre": 20.0}


def test_no_candle_to_weigh() -> None:
    """A candle of no mass, and oils that leave no room for wax, cannot be weighed out."""
    with pytest.raises(ValueError, match=r"^net_g must be"):
        masses(MakeUp({"soy": 1.0}, {}, {}), 0.0)
    full = MakeUp({"soy": 1.0}, {"cedar": 0.5, "fig": 0.5}, {})
    with pytest.raises(ValueError, match=r"^the share left by the oils must be"):
        masses(full, 100.0)
    with pytest.raises(ValueError, match=r"^the share left by the oils must be"):
        total_load_on_wax(full)


@pytest.mark.parametrize("wax", [{}, {"soy": 0.9}, {"soy": 0.999998}, {"soy": 0.6, "palm": 0.5}])
def test_waxes_make_the_whole_wax(wax: dict[str, float]) -> None:
    """The shares of the wax add up to all of it, neither less nor more."""
    with pytest.raises(ValueError, match=r"^the shares of the wax must add up to 1, not "):
        MakeUp(wax, {}, {})


def test_what_floats_add_is_forgiven() -> None:
    """Seven sevenths, which floats do not add up to 1, are the whole wax."""
    sevenths = {f"wax-{at}": 0.14285714 for at in range(7)}
    assert dict(MakeUp(sevenths, {}, {}).wax) == sevenths


@pytest.mark.parametrize("name", ["wax", "fragrance", "colorant"])
def test_no_negative_share(name: str) -> None:
    """No share is negative, and the message says which one was."""
    parts = {"wax": {"soy": 1.0}, "fragrance": {}, "colorant": {}} | {name: {"odd": -0.1}}
    with pytest.raises(ValueError, match=rf"^{name} must be a finite number, 0 or above, not -0.1"):
        MakeUp(**parts)


@pytest.mark.parametrize("name", ["wax_g", "fragrance_g", "colorant_g"])
def test_no_negative_mass(name: str) -> None:
    """No mass is negative, and the message says which one was."""
    parts: dict[str, dict[str, float]] = {"wax_g": {}, "fragrance_g": {}, "colorant_g": {}}
    with pytest.raises(ValueError, match=rf"^{name} must be a finite number, 0 or above, not -0.1"):
        Masses(**parts | {name: {"odd": -0.1}})


@pytest.mark.parametrize("name", ["wax", "fragrance", "colorant"])
def test_shares_and_masses_are_sealed(name: str) -> None:
    """Neither the holder nor whoever handed a mapping in can change it afterwards."""
    given_in = {"one": 1.0}
    for holder in (
        MakeUp(wax=given_in, fragrance=given_in, colorant=given_in),
        Masses(wax_g=given_in, fragrance_g=given_in, colorant_g=given_in),
    ):
        held = getattr(holder, name if isinstance(holder, MakeUp) else f"{name}_g")
        with pytest.raises(TypeError):
            held["one"] = 2.0
        given_in["two"] = 2.0
        assert dict(held) == {"one": 1.0}
        del given_in["two"]


@pytest.mark.parametrize(
    ("held", "name"),
    [
        (MakeUp({"soy": 1.0}, {}, {}), "wax"),
        (Masses({"soy": 1.0}, {}, {}), "wax_g"),
        (rounded_masses(Masses({"soy": 1.0}, {}, {}), 0.1), "load_on_wax"),
    ],
)
def test_what_was_checked_stays(held: object, name: str) -> None:
    """Nobody can put something unchecked in the place of what was checked."""
    with pytest.raises(FrozenInstanceError):
        setattr(held, name, {})


def test_blended_limit() -> None:
    """Three parts at 10 % and one at 6 % allow 9 %, whether shares are parts or fractions."""
    limits = {"soy": 0.10, "palm": 0.06, "unused": 0.5}
    assert blended_limit({"soy": 0.75, "palm": 0.25}, limits) == pytest.approx(0.09, rel=1e-14)
    assert blended_limit({"soy": 3.0, "palm": 1.0}, limits) == pytest.approx(0.09, rel=1e-14)


@given(waxes(), st.data())
def test_blended_limit_is_between(wax: dict[str, float], data: st.DataObject) -> None:
    """A blend allows no more than its most allowing wax, and no less than its least."""
    limits = {ident: data.draw(st.floats(0.01, 0.2)) for ident in wax}
    found = blended_limit(wax, limits)
    assert min(limits.values()) - 1e-12 <= found <= max(limits.values()) + 1e-12


def test_blend_without_a_limit() -> None:
    """A wax without a limit is named, and a blend of nothing has none."""
    with pytest.raises(ValueError, match=r"^no limit for palm, rape$"):
        blended_limit({"soy": 0.5, "rape": 0.2, "palm": 0.3}, {"soy": 0.1})
    with pytest.raises(ValueError, match=r"^the sum of the shares must be"):
        blended_limit({}, {})


def test_oil_is_worked_from_the_rounded_wax() -> None:
    """On a scale of 5 g, 147.6 g of wax become 150 g, and oil and colorant follow the 150 g.

    0.184 x 150 g is 27.6 g, shown as 30 g; of 147.6 g it would be 27.2 g, shown as 25 g. 0.084 x
    150 g is 12.6 g, shown as 15 g; of 147.6 g it would be 12.4 g, shown as 10 g.
    """
    shown = rounded_masses(
        Masses({"soy": 147.6}, {"cedar": 0.184 * 147.6}, {"ochre": 0.084 * 147.6}), 5.0
    )
    assert dict(shown.masses.wax_g) == {"soy": 150.0}
    assert dict(shown.masses.fragrance_g) == {"cedar": 30.0}
    assert dict(shown.masses.colorant_g) == {"ochre": 15.0}
    assert shown.load_on_wax == 30.0 / 150.0


def test_rounded_masses_read_as_the_scale_shows_them() -> None:
    """Tenths of a gram come out as the float that is written so, without a tail of digits."""
    shown = rounded_masses(Masses({"soy": 186.13, "palm": 0.31}, {"cedar": 14.87}, {}), 0.1)
    assert dict(shown.masses.wax_g) == {"soy": 186.1, "palm": 0.3}
    assert dict(shown.masses.fragrance_g) == {"cedar": 14.9}
    assert shown.load_on_wax == pytest.approx(14.9 / 186.4, rel=1e-14)


def test_a_pinch_too_small_for_the_scale() -> None:
    """A colorant below half a step is shown as nothing: the scale cannot weigh it."""
    shown = rounded_masses(Masses({"soy": 200.0}, {}, {"ochre": 0.04}), 0.1)
    assert dict(shown.masses.colorant_g) == {"ochre": 0.0}
    assert shown.load_on_wax == 0.0


def test_a_scale_too_coarse() -> None:
    """A scale that cannot show the wax at all, or has no step, is a mistake."""
    light = Masses({"soy": 4.0}, {"cedar": 0.4}, {})
    with pytest.raises(ValueError, match=r"^the mass of wax that the scale can show must be"):
        rounded_masses(light, 10.0)
    with pytest.raises(ValueError, match=r"^readability_g must be"):
        rounded_masses(light, 0.0)


@given(waxes(), SMALL, SMALL, st.floats(20.0, 2000.0), st.sampled_from([0.01, 0.05, 0.1, 0.5, 1.0]))
def test_rounding_keeps_the_load(
    wax: dict[str, float],
    loads: dict[str, float],
    colorant: dict[str, float],
    net_g: float,
    step_g: float,
) -> None:
    """Every mass is a whole number of steps, and loads move by half a step an oil at most."""
    exact = masses(make_up_on_wax(wax, loads, colorant), net_g)
    shown = rounded_masses(exact, step_g)
    weighed_g = sum(shown.masses.wax_g.values())
    assume(weighed_g > 0)
    for ident, mass_g in shown.masses.wax_g.items():
        assert abs(mass_g - exact.wax_g[ident]) <= step_g / 2 + 1e-9
    for mass_g in (*shown.masses.wax_g.values(), *shown.masses.fragrance_g.values()):
        assert mass_g / step_g == pytest.approx(round(mass_g / step_g), abs=1e-6)
    for ident, load in loads.items():
        gap = abs(shown.masses.fragrance_g[ident] / weighed_g - load)
        assert gap <= step_g / 2 / weighed_g + 1e-9
    for ident, load in colorant.items():
        gap = abs(shown.masses.colorant_g[ident] / weighed_g - load)
        assert gap <= step_g / 2 / weighed_g + 1e-9
    bound = len(loads) * step_g / 2 / weighed_g
    assert abs(shown.load_on_wax - sum(loads.values())) <= bound + 1e-9


# Mutations that cannot be told apart:
# - MakeUp, `> _SLACK` against `>= _SLACK`: near 1 floats are whole multiples of 2**-53, so that
#   |sum - 1| is one too; the float 1e-6 is not, hence the two sides are never equal.
