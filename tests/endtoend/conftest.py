"""The program as its users get it: a wheel, installed, and run in a folder of their own."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
Run = Callable[..., "subprocess.CompletedProcess[str]"]


@pytest.fixture(scope="session")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the package installed from its wheel."""
    folder = tmp_path_factory.mktemp("installed")
    wheels = folder / "dist"
    _quietly([sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(wheels)], ROOT)
    (wheel,) = wheels.glob("*.whl")
    target = folder / "lib"
    pip = [sys.executable, "-m", "pip", "install", "--no-index", "--no-deps", "--no-compile"]
    _quietly([*pip, "--target", str(target), str(wheel)], folder)
    return target


def _quietly(command: list[str], folder: Path) -> None:
    subprocess.run(command, cwd=folder, check=True, capture_output=True)


@pytest.fixture
def handbook(installed: Path, tmp_path: Path) -> Run:
    """Return a function that runs `handbook` from the wheel in a folder outside the checkout."""

    def run(*words: str, folder: Path = tmp_path) -> "subprocess.CompletedProcess[str]":
        environment = {**os.environ, "PYTHONPATH": str(installed), "PYTHONWARNINGS": "error"}
        environment.pop("PYTEST_CURRENT_TEST", None)
        command = [sys.executable, "-m", "handbook_builder", *words]
        return subprocess.run(
            command, cwd=folder, env=environment, capture_output=True, text=True, check=False
        )

    return run
