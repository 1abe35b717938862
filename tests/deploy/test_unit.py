"""What the service is let do, judged by systemd itself."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

DEPLOY = Path(__file__).resolve().parents[2] / "deploy"
UNITS = sorted((DEPLOY / "systemd").glob("*.service"))
MOST_EXPOSED = 3.0


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.name)
def test_a_unit_exposes_little(unit):
    judge = shutil.which("systemd-analyze")
    assert judge, "apt-get install systemd"
    summary = subprocess.run(
        [judge, "security", "--offline=true", str(unit)], capture_output=True, text=True, check=True
    ).stdout
    (level,) = re.findall(rf"Overall exposure level for {re.escape(unit.name)}: ([0-9.]+)", summary)
    assert float(level) < MOST_EXPOSED
