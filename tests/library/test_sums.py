"""The sums stand where a brewer needs them: used by a step, and fed by what is keyed in it."""

from typing import Any

import pytest

from tests.core.walker import ask
from vesselside.core.sums import calculations

from .test_walk import LIBRARY, Hand, asked_of, readings_of

PROCEDURES = {row["id"]: row for row in LIBRARY.procedures}
# What a brewer is to find at the vessel without going to the page of sums.
AT_THE_VESSEL = [
    "attenuation", "beer-losses", "blend-brews", "boil-off", "brewhouse-efficiency", "canning-yield", "co2-at-rest",
    "dilution-heat", "dry-hop", "duty-strength", "fermentation-rate", "fill-chart-limits", "fill-chart-sample",
    "fill-target", "heating-time", "hop-isomerisation", "last-runnings", "late-hop-addition", "late-hops",
    "liquor-salts", "liquor-salts-target", "mash-liquor", "peracetic-titration", "pipe-velocity", "pure-alcohol",
    "reference-test", "residual-alkalinity", "stage-loss", "stock-balance", "target-weight", "terminal-gravity",
    "total-oxygen", "ventilation-estimate", "yeast-crop", "chlorine-removal", "door-force",
]  # fmt: skip

# What is keyed beside a careful walk, step by step in order; a list is a series.
KEYED: dict[str, dict[str, Any]] = {
    "whirlpool-late-hops": {
        "hops.minute": ["5"], "hops.alpha": ["5.4"], "hops.wort": "1240", "hops.dose": "1.5",
        "hops.plan-minute": ["0", "20"], "hops.plan-wort": ["97", "92"], "hops.go-in": "0",
        "hops.plan-alpha": "12", "hops.wanted": "10", "rest.minute": ["5", "16", "26"],
    },
    "fermenter-check": {
        "gravity.original": "1.0420", "gravity.hours": ["24", "72", "48"],
        "gravity.at-hours": ["1.0360", "1.0130", "1.0210"], "gravity.beer": "1150", "gravity.fall": "8.0",
    },
    "gas-monitor-check": {"fans.given-off": "0.50", "fans.room": "400", "fans.changes": "2.00"},
    "canning-periodic-checks": {
        "chart.one": ["442.1"] * 10, "chart.two": ["443.0"] * 10, "chart.three": ["441.2"] * 10,
        "chart.four": ["442.6"] * 10, "chart.five": ["443.6"] * 10, "oxygen.temperature": "4.0",
    },
    "canning-line-pre-start": {},
    "canning-shut-down": {
        "count.beer": "1100", "count.fill": "442.0", "count.minutes": "150", "count.stopped": "20",
        "account.copper": "1290", "account.fermenter": "1200", "account.bright": "1130", "account.packed": "1060",
        "account.original": "1042.0", "account.present": "1009.0",
        "account.contents": ["442.0", "441.0", "443.0"] * 10, "account.batch": "480",
    },
    "liquor-treatment": {"salts.epsom": "10", "salts.salt": "5", "heat.from": "11.0"},
    "transfer-to-bright": {
        "end.held": "1150", "read.pressure": "0.80", "read.original": "1042.0", "read.present": "1009.0",
    },
    "crash-chill": {},
    "copper-boil": {},
    "cast-and-pitch": {"gravity.malt": ["210", "22"], "gravity.extract": ["80.0", "75.0"]},
    "second-brew-fill": {"gravity.part": ["1000", "500"], "gravity.part-gravity": ["1.0400", "1.0460"]},
    "yeast-crop": {"count.slurry": "30", "count.grew-from": "9.00"},
    "line-sanitise": {"make-up.peroxide": "4.10", "make-up.iodine": "3.95"},
    "run-off-and-sparge": {"runnings.litres": ["300", "600", "900"]},
    "grist-and-mash-in": {},
    "brewhouse-caustic-clean": {"charge.weight": "10.0", "charge.water": "150", "charge.cold": "15.0"},
    "heat-exchanger-clean": {},
    "adjuncts-and-fruit": {"weigh.weight": ["20"], "weigh.extract": ["100"], "weigh.beer": "1000"},
    "natural-carbonation": {"forced.forced": "1.0090", "forced.now": "1.0120", "forced.temperature": "18.0"},
    "stock-count": {},
}  # fmt: skip
SERIES = {
    "whirlpool-late-hops": {"hops.weight": ["1.86"], "rest.temperature": ["95.0", "92.0", "89.5"]},
    "run-off-and-sparge": {
        "runnings.gravity": ["1.0400", "1.0250", "1.0140"],
        "runnings.ph": ["5.40", "5.50", "5.60"],
    },
}
ONES = {
    "whirlpool-late-hops": {"hand-on.volume": "1290"},
    "fermenter-check": {"gravity.reading": "1.0090", "gravity.temperature": "20.0"},
    "canning-periodic-checks": {"oxygen.oxygen": "40"},
    "canning-shut-down": {"count.good": "2410", "count.spoiled": "50"},
    "liquor-treatment": {
        "fill.volume": "1000",
        "raw.chlorine": "0.50",
        "salts.gypsum": "183",
        "salts.chloride": "138",
        "heat.set": "80.0",
    },
    "transfer-to-bright": {"end.volume": "1130"},
    "copper-boil": {"end-gravity.reading": "1.0420", "end-gravity.volume": "1290"},
    "crash-chill": {"look.temperature": "1.0", "look.pressure": "0.30"},
    # a charge a little below what it was made up for, so that there is something to make up
    "brewhouse-caustic-clean": {"strength-start.first": "4.9", "strength-end.first": "4.9"},
    "heat-exchanger-clean": {"strength-start.first": "4.9", "strength.first": "4.9"},
}
# Worked by hand from what is keyed, by the formula beside each: what an entry is fed with is what this holds.
BY_HAND = {
    "whirlpool-late-hops": {"hops.by-dose": "1.86"},  # 1240 L x 1.5 g/L
    "fermenter-check": {
        "gravity.attenuation": "78.0",  # in °P: (10.48 - 2.31) / 10.48
    },
    "gas-monitor-check": {"fans.average": "754"},  # 420 ppm + (0.50 kg/h / 1.87 kg/m3) / (400 m3 x 2/h)
    "canning-periodic-checks": {
        "chart.mean": "442.5",
        "chart.range": "2.4",
        "chart.spread": "1.03",  # 2.4 / 2.326
        "chart.low": "441.1",  # 442.5 - 3 x 1.03 / root 5
        "chart.high": "443.9",
        "chart.set": "440.0",  # T1 426.8 + 1.96 x 2.0 and T2 413.6 + 3.719 x 2.0 are both below the label
    },
    "canning-shut-down": {
        "count.yield": "96.8",  # 2410 x 0.442 L / 1100 L
        "count.lost": "35",
        "account.losses": "17.8",  # (1290 - 1060) / 1290
        "account.strength": "4.2",  # 33.0 degrees x 0.129 of the duty table, truncated; from memory
        "account.alcohol": "44.52",  # 1060 L x 4.2 %
        "account.short": "0",
    },
    "liquor-treatment": {
        "chlorine.wanted": "0.8",  # 1000 L x 0.50 mg/L x 1.34 x 1.12
        "read-back.calcium": "135",  # 55 + 183 x 40.078 / 172.17 + 138 x 40.078 / 147.01
    },
    "transfer-to-bright": {"end.loss": "1.7", "read.strength": "4.2"},  # 20 / 1150
    "second-brew-fill": {"gravity.mixed": "1.0420"},  # (1000 x 40 + 500 x 46) / 1500
    "grist-and-mash-in": {"weigh-out.liquor": "621"},  # 230 kg x 2.70 L/kg
    # 20 g of sugar in a litre: 1.99 °P, 1.0078 of the tables
    "adjuncts-and-fruit": {"weigh.rise": "1.0078"},
    "natural-carbonation": {
        # Balling: 0.77 °P apparent, 0.63 of it real, is 6.4 kg of extract in 1000 L; x 0.9565 / 2.0665
        "forced.coming": "3.0",
        # 5.0 g/L at 18 °C: 10 p exp(2617.25 / 291.15 - 10.73797) makes p 2.87 bar, 1.86 above air of 1.013
        "forced.rest": "1.86",
    },
    "stock-count": {
        "closing.alcohol": "42.00",  # 1000 L x 4.2 %
        "balance.lacks": "0.17",  # 16.80 + 50.40 - 24.78 - 0.25 - 42.00
        "balance.share": "0.25",  # 0.17 of 67.20
    },
    "heat-exchanger-clean": {
        "forward.velocity": "1.54",  # 105 L/min through 38 mm: 0.00175 m3/s / 0.001134 m2
    },
}


class Thorough(Hand):
    """Keys what is optional too, and takes every sum that the procedure offers."""

    keyed: dict[str, Any]

    def enter(self, step: str, entry: dict[str, Any]) -> None:
        given = self.keyed.get(f"{step}.{entry['id']}")
        if given is None:
            super().enter(step, entry)
            return
        for typed in given if isinstance(given, list) else [given]:
            self.act("enter", step=step, field=entry["id"], typed=typed, how="keyed")

    def _keep(self, made: dict[str, Any]) -> Any:
        if made["type"] == "step.done":
            self._more(made["data"]["step"])
        return super()._keep(made)

    def _more(self, step: str) -> None:
        for entry in self.steps[step].get("entries", []):
            name = f"{step}.{entry['id']}"
            if not entry.get("optional"):
                continue
            if entry.get("works"):
                proposed = ask("work", run=self.run, step=step, field=entry["id"])["proposed"]
                self.act("enter", step=step, field=entry["id"], typed=proposed, how="worked")
            elif name in self.keyed:
                self.enter(step, entry)


def test_every_sum_a_brewer_needs_is_behind_an_entry_of_a_step() -> None:
    used = {
        entry["works"]["calculation"]
        for procedure in LIBRARY.procedures
        for step in procedure["steps"]
        for entry in step.get("entries", [])
        if "works" in entry
    }
    assert sorted(set(AT_THE_VESSEL) - used) == []
    assert sorted(used - {row["name"] for row in calculations.listing()}) == []


@pytest.fixture(scope="module")
def walked() -> dict[str, dict[str, str]]:
    """Each procedure walked thoroughly: `{id: {step.field: value}}`, and no record of it judged otherwise."""
    return {name: _walk(name) for name in KEYED}


def _walk(name: str) -> dict[str, str]:
    procedure = PROCEDURES[name]
    walker = Thorough(
        procedure, LIBRARY.cautions, inputs_given=asked_of(procedure), readings=readings_of(procedure)
    )
    walker.keyed = {**KEYED[name], **SERIES.get(name, {}), **ONES.get(name, {})}
    view = walker.finish()
    assert view["findings"] == []
    return {
        f"{step}.{field}": entry["value"]
        for step, held in view["steps"].items()
        for field, entry in held["entries"].items()
    }


def test_every_optional_sum_is_given_all_it_needs(walked: dict[str, dict[str, str]]) -> None:
    for name, values in walked.items():
        for step in PROCEDURES[name]["steps"]:
            for entry in step.get("entries", []):
                if "works" in entry:
                    assert values[f"{step['id']}.{entry['id']}"], (name, step["id"], entry["id"])


@pytest.mark.parametrize("name", BY_HAND)
def test_a_sum_is_fed_by_what_stands_beside_it(walked: dict[str, dict[str, str]], name: str) -> None:
    assert {entry: walked[name][entry] for entry in BY_HAND[name]} == BY_HAND[name]
