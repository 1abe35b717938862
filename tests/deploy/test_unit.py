"""What the service is let do, judged by systemd itself, and what stands in front of it."""

import re
import shutil
import subprocess
from pathlib import Path

DEPLOY = Path(__file__).resolve().parents[2] / "deploy"
UNIT = DEPLOY / "systemd" / "vesselside.service"
MOST_EXPOSED = 3.0


def test_the_unit_exposes_little():
    judge = shutil.which("systemd-analyze")
    assert judge, "apt-get install systemd"
    summary = subprocess.run(
        [judge, "security", "--offline=true", str(UNIT)], capture_output=True, text=True, check=True
    ).stdout
    (level,) = re.findall(r"Overall exposure level for vesselside.service: ([0-9.]+)", summary)
    assert float(level) < MOST_EXPOSED


def test_the_proxys_admin_endpoint_is_off_and_it_has_limits():
    lines = [line.strip() for line in (DEPLOY / "Caddyfile").read_text().splitlines()]
    for setting in ("admin off", "read_header 10s", "max_header_size 64KB", "max_size 5MiB"):
        assert setting in lines
