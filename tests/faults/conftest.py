"""A server of a test's own that is made to suffer."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conftest import Templates
from tests.living import Living


@pytest.fixture
def served(templates: Templates, tmp_path: Path) -> Iterator[Living]:
    """A server of this test's own, as it is served unless told otherwise: two processes, no proxy."""
    living = Living(tmp_path, templates.of("sqlite", founded=True).copy(tmp_path), workers=2)
    living.start()
    yield living
    living.stop()
