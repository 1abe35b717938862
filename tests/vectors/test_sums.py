"""Every calculation has a worked example among the vectors, and answers it as written."""

import json

from tests.vectors.make_sums import VECTORS, session
from vesselside.core.sums import calculations


def test_every_calculation_has_an_example():
    asked = {call["args"]["name"] for call in json.loads(VECTORS.read_text(encoding="utf-8"))[0]["calls"]}
    assert sorted(asked ^ {row["name"] for row in calculations.listing()}) == []


def test_the_examples_answer_as_written():
    assert json.loads(VECTORS.read_text(encoding="utf-8")) == [session()], (
        "run python -m tests.vectors.make_sums"
    )
