"""The kinds of items are said once, and what records name is cut at its slash in one place."""

import re
from pathlib import Path

import pytest

import handbook_builder
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.records import KINDS
from handbook_builder.reading.refs import ITEM_FOLDERS, ITEM_KINDS, Ref
from handbook_builder.reading.shape import keys_of

PACKAGE = Path(handbook_builder.__file__).parent


def test_every_kind_of_item_is_a_kind_of_record_and_a_key_of_a_recipe() -> None:
    """A row of the table that no record or recipe has would be a kind that nobody can write."""
    assert set(ITEM_FOLDERS) <= set(KINDS)
    assert {kind.key for kind in ITEM_KINDS} <= set(keys_of(Recipe))


@pytest.mark.parametrize(
    ("written", "is_item", "is_weighed", "burns"),
    [
        ("waxes/soy-blend", True, True, True),
        ("fragrances/cedar-fig-oil", True, True, True),
        ("colorants/grey-flakes", True, True, True),
        ("wicks/cotton-8", True, False, True),
        ("vessels/tumbler-72", True, False, True),
        ("packaging/lid-72", True, False, False),
        ("recipes/cedar-fig", False, False, False),
        ("batches/cedar-fig-1", False, False, False),
    ],
)
def test_what_a_reference_is_of(
    written: str, *, is_item: bool, is_weighed: bool, burns: bool
) -> None:
    """Wax, oil and dye go by mass, the rest by the piece; a box does not burn."""
    named = Ref(written)
    assert (named.is_item, named.is_weighed, named.burns) == (is_item, is_weighed, burns)
    assert Ref.to(named.folder, named.id) == written


def test_no_other_module_lists_the_folders_of_items_or_cuts_a_reference() -> None:
    """A list written twice is a list that differs one day."""
    offenders = [
        str(path.relative_to(PACKAGE))
        for path in sorted(PACKAGE.rglob("*.py"))
        if path.name != "refs.py"
        and re.search(
            r'"waxes", "(wicks|fragrances)", "\w+"|(item|about)\.(r?partition|split)\("/"\)',
            path.read_text("utf-8"),
        )
    ]
    assert offenders == []
