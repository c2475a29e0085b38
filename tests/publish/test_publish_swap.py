"""A crash or a kill at any moment leaves one whole site: the old one, or the new one."""

import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from runs import RUN, leftovers, prints, run_tool
from synthetic import few_pages, page, write_pages

from handbook_builder.publish import swap

BEFORE = ["writing pages", "before the swap", "at the exchange"]
AFTER = ["after the exchange", "clearing up"]


@pytest.fixture
def site(studio: Path) -> Path:
    """Return a site that was built once, of a studio that has changed since."""
    assert run_tool("site", studio, studio / "site").returncode == 0
    write_pages(studio, [*few_pages(), page("vessels/new-jar", "New jar")])
    return studio / "site"


@pytest.mark.parametrize("stage", BEFORE)
def test_kill_before_the_swap_leaves_the_old_site(studio: Path, site: Path, stage: str) -> None:
    """The old site is the same byte for byte; the next build clears up and publishes."""
    old = prints(site)
    assert run_tool("site", studio, site, kill_at=stage).returncode == 9
    assert prints(site) == old
    assert leftovers(site) != []
    assert run_tool("site", studio, site).returncode == 0
    assert (site / "vessels/new-jar.html").is_file()
    assert leftovers(site) == []


@pytest.mark.parametrize("stage", AFTER)
def test_kill_after_the_swap_leaves_the_new_site(studio: Path, site: Path, stage: str) -> None:
    """The new site is whole, the same as one that was built in peace."""
    assert run_tool("site", studio, site, kill_at=stage).returncode == 9
    new = prints(site)
    assert "vessels/new-jar.html" in new
    assert run_tool("site", studio, site).returncode == 0
    assert prints(site) == new
    assert leftovers(site) == []


def test_two_renames_where_there_is_no_exchange(studio: Path, site: Path) -> None:
    """A system without an exchange of folders publishes by two renames."""
    assert run_tool("site", studio, site, kill_at="two renames").returncode == 0
    assert (site / "vessels/new-jar.html").is_file()
    assert leftovers(site) == []


def test_kill_between_two_renames_is_mended(studio: Path, site: Path) -> None:
    """The old site is put back by the next run, even when that run publishes nothing."""
    old = prints(site)
    assert run_tool("site", studio, site, kill_at="between two renames").returncode == 9
    assert not site.exists()
    (studio / "records/burns/a.md").write_text("BROKEN")
    assert run_tool("site", studio, site).returncode == 1
    assert prints(site) == old
    assert leftovers(site) == []


def test_sigkill_at_any_moment(studio: Path, site: Path) -> None:
    """Killed at ten random moments, the build always leaves the whole old or the whole new site."""
    old = prints(site)
    started = time.monotonic()
    assert run_tool("site", studio, studio / "other").returncode == 0
    whole = time.monotonic() - started
    new = prints(studio / "other")
    chance = random.Random(7)  # noqa: S311 -- moments to kill at, no secret
    for moment in (chance.uniform(0.3, 1.0) * whole for _ in range(10)):
        command = [sys.executable, RUN, "site", studio, site]
        with subprocess.Popen(command, stderr=subprocess.DEVNULL) as build:
            time.sleep(moment)
            build.send_signal(signal.SIGKILL)
        assert prints(site) in (old, new)


def test_first_publish(tmp_path: Path) -> None:
    """Where no site stands yet, the draft simply takes the place."""
    draft = swap.begin(tmp_path / "new" / "site")
    (draft.folder / "index.html").write_text("one")
    draft.publish()
    assert (tmp_path / "new/site/index.html").read_text() == "one"
    assert leftovers(tmp_path / "new/site") == []


def test_a_draft_in_use_is_left_alone(tmp_path: Path) -> None:
    """Two builds at one time do not sweep away each other's draft; the last one to end stands."""
    site = tmp_path / "site"
    one, two = swap.begin(site), swap.begin(site)
    assert one.folder.is_dir()
    (one.folder / "index.html").write_text("one")
    (two.folder / "index.html").write_text("two")
    one.publish()
    two.publish()
    assert (site / "index.html").read_text() == "two"
    assert leftovers(site) == []


def test_folder_of_others_is_refused(tmp_path: Path) -> None:
    """A folder that no build wrote is never replaced: a mistyped site folder loses no files."""
    (tmp_path / "documents").mkdir()
    (tmp_path / "documents/letter.txt").write_text("dear")
    with pytest.raises(swap.ForeignFolderError, match="did not write"):
        swap.begin(tmp_path / "documents")
    assert (tmp_path / "documents/letter.txt").read_text() == "dear"


def test_hidden_files_and_mode_are_kept(tmp_path: Path) -> None:
    """What a reader keeps in the site under a hidden name stays, and so do its access rights."""
    site = tmp_path / "site"
    swap.begin(site).publish()
    (site / ".git").mkdir()
    (site / ".git/config").write_text("kept")
    (site / "old.html").write_text("gone")
    site.chmod(0o750)
    swap.begin(site).publish()
    assert (site / ".git/config").read_text() == "kept"
    assert not (site / "old.html").exists()
    assert site.stat().st_mode & 0o777 == 0o750


def test_link_to_the_site_stays_a_link(tmp_path: Path) -> None:
    """A site folder that is a symbolic link keeps pointing to where the pages are."""
    (tmp_path / "real").mkdir()
    (tmp_path / "site").symlink_to(tmp_path / "real")
    draft = swap.begin(tmp_path / "site")
    (draft.folder / "index.html").write_text("one")
    draft.publish()
    assert (tmp_path / "site").is_symlink()
    assert (tmp_path / "real/index.html").read_text() == "one"
