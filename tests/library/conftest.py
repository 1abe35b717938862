"""A small library on disk that is right, so that each test can put one thing wrong."""

from collections.abc import Callable
from pathlib import Path

import pytest

CAUTION = """\
id: hot
version: 1
title: Hot
group: heat
hazard: Hot liquor.
effect: Scalds.
wear: [Gauntlets]
first: [Hose tied]
minute: [Cool water for 20 minutes]
seen: ["Hose tied?"]
pictograms: []
codes: []
sources: [common practice]
defer: Ask a competent person.
alarm: false
"""

PROCEDURE = """\
id: rinse
version: 1
title: Rinse
kind: cleaning
vessel_kinds: [fermenter]
summary: A rinse.
settings:
  - id: least
    label: Least
    unit: °C
    default: "40.0"
    source: common practice, no source
steps:
  - id: warm
    title: Warm the liquor
    why: It cleans better.
    how: Turn the valve.
    cautions: [hot]
    entries:
      - id: temperature
        label: Temperature
        kind: reading
        unit: °C
        places: 1
        instrument: thermometer
        limits:
          target: [{setting: least}, "60"]
          stop: ["30", "70"]
          low: Warm it.
          high: Cool it.
          halt: Wait.
          source: common practice, no source
  - id: look
    title: Look
    why: To see.
    how: With a torch.
    needs: [warm]
    entries:
      - id: seen
        label: Wall
        kind: choice
        options:
          - {id: clean, label: Clean, verdict: target}
          - {id: soiled, label: Soiled, verdict: stop, advice: Again.}
"""

Write = Callable[..., Path]


@pytest.fixture
def library(tmp_path: Path) -> Write:
    """Write the small library with `old` replaced by `new` in its procedure; `caution` likewise."""

    def write(
        old: str = "", new: str = "", *, caution: tuple[str, str] = ("", ""), name: str = "rinse"
    ) -> Path:
        assert old in PROCEDURE
        assert caution[0] in CAUTION
        for kind, file, text in (
            ("cautions", "hot", CAUTION.replace(*caution, 1)),
            ("procedures", name, PROCEDURE.replace(old, new, 1)),
        ):
            folder = tmp_path / kind
            folder.mkdir(exist_ok=True)
            (folder / f"{file}.yaml").write_text(text, encoding="utf-8")
        return tmp_path

    return write
