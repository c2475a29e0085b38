"""For any words, signs and panel: whole, within and never too small, or what would do."""

from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from handbook_builder.labels.content import (
    Block,
    Field,
    Pictogram,
    Pictograms,
    Role,
    Sign,
    Signs,
    Text,
)
from handbook_builder.labels.layout import lay_out
from handbook_builder.labels.placed import (
    Layout,
    Panel,
    TooSmall,
    round_panel,
)
from handbook_builder.labels.sizes import LETTERS, net_weight_eu
from tests.labels.held import (
    assert_a_millimetre_less_does_not_do,
    assert_it_is_whole,
    assert_nothing_is_too_small,
    boxes,
    is_inside,
    overlap,
)
from tests.labels.samples import FACES

WORDS = st.text(st.sampled_from("abegijpxÅĢőŠß1.-€"), min_size=1, max_size=9)
TEXTS = st.lists(WORDS, min_size=1, max_size=14).map(" ".join)
MINIMA = st.sampled_from([(LETTERS,), (LETTERS, net_weight_eu(150))])
BLOCKS: st.SearchStrategy[Block] = st.one_of(
    st.builds(
        Text,
        role=st.sampled_from(Role),
        text=TEXTS,
        minima=MINIMA,
        preferred_x_mm=st.none() | st.floats(0.8, 4.0),
        is_bold=st.booleans(),
        lead=st.none() | st.just(Sign.WARNING),
    ),
    st.builds(
        Signs,
        signs=st.lists(st.sampled_from(Sign), max_size=8).map(tuple),
        preferred_mm=st.none() | st.floats(3.0, 12.0),
    ),
    st.builds(Pictograms, pictograms=st.lists(st.sampled_from(Pictogram), max_size=3).map(tuple)),
    st.builds(Field, role=st.just(Role.UFI), caption=WORDS, characters=st.integers(1, 19)),
)
FACES_OF_BLOCKS = st.lists(BLOCKS, max_size=7)
PANELS = st.one_of(
    st.builds(Panel, st.integers(10, 120).map(float), st.integers(10, 120).map(float)),
    st.integers(10, 120).map(lambda across: round_panel(float(across))),
)


@settings(max_examples=80)
@given(FACES_OF_BLOCKS, PANELS, st.booleans())
def test_a_layout_is_whole_and_within_or_says_what_would_do(
    blocks: list[Block],
    panel: Panel,
    is_centred: bool,  # noqa: FBT001 -- named by what draws it
) -> None:
    """For any words and signs and any panel."""
    laid = lay_out(blocks, panel, FACES, is_centred=is_centred)
    assert laid == lay_out(blocks, panel, FACES, is_centred=is_centred)
    if isinstance(laid, TooSmall):
        assert_a_millimetre_less_does_not_do(blocks, laid)
        return
    assert isinstance(laid, Layout)
    placed = boxes(laid)
    assert all(is_inside(box, panel) for box in placed)
    assert not any(overlap(one, other) for one, other in combinations(placed, 2))
    assert_nothing_is_too_small(laid, blocks)
    assert_it_is_whole(laid, blocks)
