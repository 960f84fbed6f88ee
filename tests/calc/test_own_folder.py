"""What pint reads of its list of units is kept only where nobody else can have put anything: it is code when it is read."""

import os

import pytest
from gudgeon_calc.own_folder import PLACE, own_folder

pytestmark = pytest.mark.skipif(not hasattr(os, "geteuid"), reason="no owners on this platform")


@pytest.fixture
def place(tmp_path, monkeypatch):
    (tmp_path / "project").mkdir()
    monkeypatch.chdir(tmp_path / "project")
    monkeypatch.delenv(PLACE, raising=False)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr("sys.platform", "linux")
    return tmp_path / "cache" / "gudgeon" / "units"


def test_it_is_made_for_this_user_alone(place):
    assert own_folder("units") == place and place.stat().st_mode & 0o077 == 0


def test_nothing_is_kept_where_others_could_write(place, monkeypatch, tmp_path):
    place.mkdir(parents=True)
    place.chmod(0o777)
    assert own_folder("units") is None
    place.chmod(0o700)
    place.parent.chmod(0o770)
    assert own_folder("units") is None
    place.parent.chmod(0o700)
    (place / "list.pickle").symlink_to(tmp_path / "elsewhere")
    assert own_folder("units") is None
    (place / "list.pickle").unlink()
    assert own_folder("units") == place
    monkeypatch.setattr(os, "geteuid", lambda: place.stat().st_uid + 1)
    assert own_folder("units") is None


def test_nothing_is_kept_below_the_project_through_a_link_or_where_another_place_was_said(place, monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "project" / ".cache"))
    assert own_folder("units") is None
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    (tmp_path / "cache").mkdir()
    (tmp_path / "cache" / "gudgeon").symlink_to(tmp_path / "project")
    assert own_folder("units") is None
    (tmp_path / "cache" / "gudgeon").unlink()
    monkeypatch.setenv(PLACE, str(tmp_path / "said"))
    assert own_folder("units") is None
