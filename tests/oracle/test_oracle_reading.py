"""Hand-worked cases that pin the oracle on units, text and fill."""

from fractions import Fraction

import pytest

from .match import fill_volume, net_fill, water_density
from .read import Book, Record, clock_of, front_matter, quantity


def test_fill_to_the_line() -> None:
    """Net fill to the line: volume times the ideal mixture, of wax that has set or of hot wax."""
    book: Book = {
        "vessels": {"jar": {"fill": {"volume": "100 mL"}}},
        "waxes": {"w": {"density": "0.9 g/mL"}},
        "fragrances": {"o": {"density": "1000 kg/m3"}},
    }
    recipe: Record = {"vessel": "jar", "wax": "w", "fragrance": {"o": "25 %"}, "fill": "to_line"}
    recipe |= {"load_basis": "wax", "colorant": {"d": "1 %"}}  # the dye is left out
    # 1 / density = 0.8 / 0.9 + 0.2 / 1.0
    set_g = 100 / (Fraction(8, 9) + Fraction(1, 5))
    assert net_fill(book, recipe) == set_g
    # a liquid density that is written down later changes nothing that is filled to the line
    book["waxes"]["w"]["liquid_density"] = {"density": "0.8 g/mL", "at": "70 degC"}
    assert net_fill(book, recipe) == set_g
    hot: Record = recipe | {"fill": "to_line_hot"}
    assert net_fill(book, hot) == 100 / (1 + Fraction(1, 5))
    assert net_fill(book, hot | {"fragrance": "none"}) == 80


def test_fill_volumes() -> None:
    """Water to the line by the density of water; straight-sided from width and height."""
    # computed from the formula of Tanaka et al. 2001, Metrologia 38, 301-309: 0.9979950 at 21 degC
    assert float(water_density(Fraction(21))) == pytest.approx(0.9979950, abs=5e-8)
    water = {"fill": {"water": "199.599 g", "at": "69.8 °F"}}
    assert float(fill_volume(water)) == pytest.approx(200.0, abs=1e-4)
    sides = {"inside_diameter": "8 cm", "inside_height": "100 mm", "fill": {"headspace": "20 mm"}}
    assert float(fill_volume(sides)) == pytest.approx(402.1238597, abs=1e-6)  # 8^2 x 8 x pi / 4


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("412.6 g", "412.6"),
        ("14.55 oz", "412.48556146875"),
        ("1 lb", "453.59237"),
        ("2 3/4 in", "69.85"),
        ("2.75in", "69.85"),
        ("8 %", "0.08"),
        ("7 fl oz", "207.0147069375"),
        ("240 min", "4"),
        ("3 h 45 min", "3.75"),
        ("36 s", "0.01"),
        ("2 weeks", "336"),
        ("126 °F", "470/9"),
        ("-4 degF", "-20"),
        ("52 °C", "52"),
        ("delta 90 degF", "50"),
        ("Δ50 degC", "50"),
        ("900 kg/m3", "0.9"),
    ],
)
def test_units(text: str, value: str) -> None:
    """Each spelling reads exactly (factors: NIST Handbook 44, Appendix C; NIST SP 811)."""
    assert quantity(text) == Fraction(value)


def test_front_matter_is_strings() -> None:
    """No YAML surprises: everything stays a string, and a rule in the body is not a fence."""
    told = front_matter("---\non: 2026-03-15 09:30\nb: no\nc: 012\n---\ntext\n---\nmore\n")
    assert told == {"on": "2026-03-15 09:30", "b": "no", "c": "012"}
    assert str(clock_of(told["on"])) == "09:30:00"
