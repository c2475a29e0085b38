"""What the tests of the publish room share."""

from pathlib import Path

import pytest
from synthetic import write_studio


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """Return the folder of a made-up studio, not yet built."""
    return write_studio(tmp_path / "studio")
