import subprocess
import sys
from pathlib import Path

import pytest

from tests.parity.runtimes import ROOT


@pytest.fixture(scope="session")
def pack(tmp_path_factory) -> Path:
    """The core pack that ships, which must be what the sources make."""
    shipped = list((ROOT / "pwa/dist/assets").glob("core-*.pack"))
    assert len(shipped) == 1, "pwa/dist holds no core pack: run deploy/run build"
    made = tmp_path_factory.mktemp("pack") / "core.pack"
    subprocess.run([sys.executable, ROOT / "pwa/tools/pack_core.py", "-o", made], check=True)
    assert shipped[0].read_bytes() == made.read_bytes(), (
        "the built app is older than the core: run deploy/run build"
    )
    return shipped[0]
