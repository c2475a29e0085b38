"""The generated studios: whole, without a fault or a warning, and the same for the same seed."""

from pathlib import Path

import pytest

from handbook_builder.derived.notices import notices
from handbook_builder.verdicts.approval import Status
from handbook_builder.verdicts.judge import judge
from handbook_builder.workshop import studio_in

from .__main__ import main
from .sizes import AS_OF, SIZES
from .studio import records_of, write


@pytest.mark.parametrize("seed", [1, 2])
def test_a_small_studio_passes_and_has_what_a_size_says(tmp_path: Path, seed: int) -> None:
    """It has the sizes that it should, no fault, no warning, and more than one verdict."""
    size = SIZES["small"]
    write(tmp_path, "small", seed)
    studio, faults = studio_in(tmp_path / "records")
    assert studio is not None, faults
    assert not list(notices(studio, AS_OF, {}))
    counts = (len(studio.recipes), len(studio.burns), len(studio.batches), len(studio.purchases))
    assert counts == (size.recipes, size.recipes * size.candles, size.batches, size.purchases)
    words = {one.status for one in judge(studio, AS_OF).products.values()}
    assert Status.APPROVED in words
    assert len(words) > 1


def test_the_same_seed_draws_the_same_studio_and_another_one_another() -> None:
    """A seed is the whole of what is drawn."""
    first = records_of(SIZES["small"])
    assert first == records_of(SIZES["small"])
    assert first != records_of(SIZES["small"], 2)


def test_the_command_says_what_it_takes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A size that there is none of is a wrong call; one that there is is written."""
    assert main(["generated", "enormous", str(tmp_path)]) == 2
    assert "ten-years" in capsys.readouterr().err
    assert main(["generated", "small", str(tmp_path / "studio")]) == 0
    assert (tmp_path / "studio" / "records" / "studio.md").is_file()
