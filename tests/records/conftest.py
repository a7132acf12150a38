"""What the tests of the records share."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from .shop import Shop, Told


@pytest.fixture
def told() -> Told:
    return Told()


@pytest.fixture
def places(tmp_path: Path) -> tuple[Path, ...]:
    return (tmp_path / "first rescue", tmp_path / "second rescue")


@pytest.fixture
def shop(tmp_path: Path, places: tuple[Path, ...], told: Told) -> Iterator[Shop]:
    shop = Shop(tmp_path / "data", places, told)
    yield shop
    shop.close()
