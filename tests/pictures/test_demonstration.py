"""The pictures of the demonstration's series: each has its entry, is small, and holds nothing but pixels."""

from pathlib import Path

import pytest
import yaml
from gudgeon.pictures.hidden_data import hidden_data

BUILDS = Path(__file__).resolve().parents[2] / "builds"
MOST = 120_000  # bytes of one picture
MOST_IN_ALL = 4_000_000


@pytest.mark.parametrize("build", ["harrow-pond", "sundlia"])
def test_each_picture_is_described_drawn_small_and_bare(build: str) -> None:
    entries = yaml.safe_load((BUILDS / build / "photos.yaml").read_text(encoding="utf-8"))["photos"]
    pictures = {path.name: path for path in (BUILDS / build / "photos").iterdir()}
    assert set(pictures) == set(entries)
    for name, path in pictures.items():
        assert entries[name]["drawn"] == "drawn for the demonstration", name
        assert len(entries[name]["shows"]) > 20, name
        assert path.stat().st_size <= MOST, name
        assert not hidden_data(path.read_bytes()), name


def test_all_pictures_together_stay_small() -> None:
    assert sum(path.stat().st_size for path in BUILDS.glob("*/photos/*")) <= MOST_IN_ALL
