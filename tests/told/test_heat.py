"""The order of heat of a pour: no heat at the wax's flash point, and none above its own."""

from dataclasses import replace

from handbook_builder.derived.heat import Heat, order_of
from handbook_builder.reading.refs import Ref


def test_no_step_orders_a_heat_at_the_flash_point() -> None:
    """A heat that is not below the wax's flash point, or above its heat, is in no order."""
    wax = Heat(Ref("waxes/a"), 80.0, 70.0, 60.0, 230.0)
    assert order_of([wax]).withheld == ()
    slip = replace(wax, heat_to_c=250.0)  # 250 °F, written as °C
    assert order_of([slip]).withheld == ("heat_to",)
    assert order_of([slip]).heat_to_c is None
    assert order_of([replace(wax, flash_point_c=80.0)]).withheld == ("heat_to",)
    assert order_of([replace(wax, flash_point_c=70.0)]).withheld == ("heat_to", "add_at")
    assert order_of([replace(wax, pour_at_c=315.6)]).withheld == ("pour_at",)
    assert order_of([replace(wax, add_at_c=81.0)]).withheld == ("add_at",)
    oil = Heat(Ref("fragrances/b"), None, None, None, 50.0)
    assert order_of([wax, oil]).withheld == ()
    mixed = order_of([wax, Heat(Ref("waxes/c"), 75.0, None, None, 78.0)])
    assert (mixed.heat_to_c, mixed.add_at_c, mixed.withheld) == (75.0, 70.0, ())
    whole = order_of([wax])
    assert (whole.heat_to_c, whole.add_at_c, whole.pour_at_c) == (80.0, 70.0, 60.0)
    assert whole.flash_point_c == 230.0
