"""Carbon dioxide in beer: at rest with a pressure, from priming, and for a whole tank."""

from math import exp

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import water
from vesselside.core.sums.inputs import choice, number

from .alcohol import CO2_PER_ALCOHOL, EXTRACT_PER_ALCOHOL
from .fermentation import CO2_G_MOL, co2_m3_kg

BAR_KPA = 100.0
ATMOSPHERE_BAR = 1.01325
VOLUME_G_L = 1.9768
"""One volume of carbon dioxide, at 0 °C and one atmosphere [g/L]."""

# g of fermentable extract, as monosaccharide, in 1 g
_SUGARS = {"sucrose": 1.0526, "glucose": 1.0, "glucose-hydrate": 0.9091}


def equilibrium(*, temp_c: float, absolute_bar: float) -> float:
    """Carbon dioxide that beer holds at rest [g/L], from temperature and absolute pressure.

    Formula: 10 x pressure x exp(2617.25 / T - 10.73797), a beer chart's equation. Range 0 to 30 [°C], 0.8 to 6 [bar
    absolute]. Source: beer-chart (from memory). Example: 2 °C and 2 bar absolute is 5.87 g/L.
    """
    return 10.0 * absolute_bar * exp(2617.25 / (temp_c + water.ZERO_C) - 10.73797)


def in_water(*, temp_c: float, absolute_bar: float) -> float:
    """Carbon dioxide that pure water holds at rest [g/L]: a bound, since extract lets beer hold less.

    Formula: pressure less water vapour over Henry's constant, as moles in a kilogram of water. Range 1 to 30 [°C], 0.8
    to 6 [bar absolute]. Source: iapws-g7. Example: 2 °C and 2 bar absolute is 5.97 g/L.
    """
    gas_kpa = absolute_bar * BAR_KPA - water.vapour_pressure(temp_c=temp_c)
    share = gas_kpa / water.henry(gas="CO2", temp_c=temp_c)
    return share / (1.0 - share) * CO2_G_MOL / water.G_MOL * water.density(temp_c=temp_c) * 1000.0


def at_rest(*, temp_c: float, gauge_bar: float, air_bar: float) -> dict:
    """Carbon dioxide in beer at rest with its head space [g/L and volumes].

    Formula: the chart's equation at gauge + air pressure. Range 0 to 30 [°C], 0 to 5 [bar gauge], 0.8 to 1.1 [bar].
    Sources: beer-chart, iapws-g7. Example: 2 °C and 1.0 bar gauge is 5.91 g/L, 2.99 volumes.
    """
    absolute = gauge_bar + air_bar
    grams = equilibrium(temp_c=temp_c, absolute_bar=absolute)
    return {
        "grams": grams,
        "volumes": grams / VOLUME_G_L,
        "absolute_bar": absolute,
        "water_g_l": in_water(temp_c=max(1.0, temp_c), absolute_bar=absolute),
    }


def pressure(*, temp_c: float, target_g_l: float, air_bar: float) -> dict:
    """Gauge pressure [bar] at which beer comes to rest at `target_g_l`.

    Formula: the chart's equation solved for pressure, less air pressure. Range 0 to 30 [°C], 1 to 12 [g/L], 0.8 to 1.1
    [bar]. A pressure above 3 bar and one below the air's are marked. Sources: beer-chart, iapws-g7.
    Example: 5.0 g/L at 2 °C is 0.69 bar gauge.
    """
    absolute = target_g_l / equilibrium(temp_c=temp_c, absolute_bar=1.0)
    marks = []
    if absolute < air_bar:
        marks.append("Below the air's pressure: an open vessel holds more than this.")
    if absolute - air_bar > 3.0:
        marks.append("Above 3 bar: check the vessel's plate and relief valve before anything else.")
    return {
        "gauge_bar": absolute - air_bar,
        "absolute_bar": absolute,
        "volumes": target_g_l / VOLUME_G_L,
        "marks": marks,
    }


def residual(*, warmest_c: float, air_bar: float, head_bar: float = 0.0) -> float:
    """Carbon dioxide left in beer [g/L] that stood at its warmest since fermentation, open or under `head_bar`.

    Formula: the chart's equation at that temperature and air pressure + gauge. Range 0 to 30 [°C], 0.8 to 1.1 [bar], 0
    to 3 [bar gauge]. Source: beer-chart. Example: 20 °C, open, is 1.66 g/L.
    """
    return equilibrium(temp_c=warmest_c, absolute_bar=air_bar + head_bar)


def priming(
    *,
    beer_l: float,
    target_g_l: float,
    warmest_c: float,
    sugar: str,
    air_bar: float,
    into: str,
    head_bar: float,
    store_c: float,
) -> dict:
    """Sugar [g] that primes a cask or keg of `beer_l` to `target_g_l` of carbon dioxide, and the pressure it comes to.

    Formula: (target - residual at the warmest since fermentation, at the pressure it stood at) / yield; 1 g of
    monosaccharide yields 0.9565 / 2.0665 g; pressure by the chart's equation at `store_c`. Range 0.1 to 20000 [L], 1 to
    9 [g/L], 0 to 30 [°C], 0 to 3 [bar gauge]. A high target and a high pressure are marked. Sources: beer-chart,
    balling. Example: 41 L to 2.4 g/L, 16 °C at its warmest, sucrose: 44 g; at 12 °C it comes to 0.13 bar.
    """
    left = residual(warmest_c=warmest_c, air_bar=air_bar, head_bar=head_bar)
    made = _SUGARS[sugar] * CO2_PER_ALCOHOL / EXTRACT_PER_ALCOHOL
    grams = max(0.0, target_g_l - left) * beer_l / made
    marks = []
    if target_g_l <= left:
        marks.append("It already holds that much: no sugar.")
    if into == "cask" and target_g_l > 4.0:
        marks.append("High for a cask: check what it, its fittings and its store may hold.")
    stored = max(target_g_l, left) / equilibrium(temp_c=store_c, absolute_bar=1.0) - air_bar
    if into == "keg" and stored > 3.0:
        marks.append("Above 3 bar: check the keg's plate and relief before anything else.")
    return {
        "sugar_g": grams,
        "left_g_l": left,
        "made": made,
        "per_l": grams / beer_l,
        "volumes": target_g_l / VOLUME_G_L,
        "stored_bar": max(0.0, stored),
        "marks": marks,
    }


def tank_gas(
    *,
    beer_l: float,
    now_g_l: float,
    target_g_l: float,
    head_l: float,
    head_bar: float,
    temp_c: float,
    lost_pct: float,
) -> dict:
    """Carbon dioxide [kg] to raise a tank's beer from one content to another and fill its head space.

    Formula: beer x rise + head space at its absolute pressure, over what is not lost. Range 1 to 50000 [L], 0 to 10
    [g/L], 0 to 20000 [L], 0 to 5 [bar gauge], 0 to 30 [°C], 0 to 80 [%]. Raises CoreError `order` when the target is
    below. Sources: mass-balance, gas-law. Example: 2000 L from 3.2 to 5.0 g/L, 200 L at 1 bar, 2 °C, 20 % lost: 5.5 kg.
    """
    if target_g_l < now_g_l:
        raise CoreError("order", "The beer already holds more than that.", field="target_g_l")
    into_beer = beer_l * (target_g_l - now_g_l) / 1000.0
    head_kpa = (head_bar + ATMOSPHERE_BAR) * BAR_KPA
    into_head = head_l / 1000.0 / co2_m3_kg(temp_c=temp_c, pressure_kpa=head_kpa)
    gas = (into_beer + into_head) / (1.0 - lost_pct / 100.0)
    return {
        "gas_kg": gas,
        "beer_kg": into_beer,
        "head_kg": into_head,
        "gas_m3": gas * co2_m3_kg(temp_c=15.0, pressure_kpa=101.325),
    }


_TEMP = number("temp_c", "Beer at", "°C", "0", "30", 1)
_AIR = number("air_bar", "Air pressure", "bar", "0.8", "1.1", 3, "1.013")
_BEER = (
    "A beer chart's equation; strong or sweet beer holds a little less, and only beer at rest is in balance."
)

ROWS = [
    {
        "name": "co2-at-rest",
        "title": "Carbon dioxide from pressure",
        "place": "cellar",
        "inputs": [_TEMP, number("gauge_bar", "Gauge pressure", "bar", "0", "5", 2), _AIR],
        "formula": "Carbon dioxide = 10 × absolute pressure × exp(2617.25 ÷ absolute temperature − 10.73797).",
        "steps": [
            ["absolute_bar", "Absolute pressure", "bar", 3],
            ["water_g_l", "Pure water would hold, at most", "g/L", 2],
        ],
        "results": [["grams", "Carbon dioxide", "g/L", 2], ["volumes", "As volumes", "vol", 2]],
        "sources": ["beer-chart", "iapws-g7"],
        "assumptions": [_BEER],
        "function": at_rest,
    },
    {
        "name": "co2-pressure",
        "title": "Pressure for carbon dioxide",
        "place": "cellar",
        "inputs": [_TEMP, number("target_g_l", "Carbon dioxide wanted", "g/L", "1", "12", 2), _AIR],
        "formula": "Absolute pressure = wanted ÷ what 1 bar holds at that temperature; gauge = absolute − air.",
        "steps": [
            ["absolute_bar", "Absolute pressure", "bar", 3],
            ["volumes", "Wanted, as volumes", "vol", 2],
        ],
        "results": [["gauge_bar", "Gauge pressure", "bar", 2]],
        "sources": ["beer-chart", "iapws-g7"],
        "assumptions": [_BEER, "Never above the vessel's plate or relief valve."],
        "function": pressure,
    },
    {
        "name": "cask-priming",
        "title": "Sugar to prime a cask or keg",
        "place": "cellar",
        "inputs": [
            number("beer_l", "Beer", "L", "0.1", "20000", 1),
            number("target_g_l", "Carbon dioxide wanted", "g/L", "1", "9", 2),
            number("warmest_c", "Warmest since fermentation", "°C", "0", "30", 1),
            choice(
                "sugar",
                "Sugar",
                [
                    ["sucrose", "Sucrose, cane or beet"],
                    ["glucose", "Glucose, dry"],
                    ["glucose-hydrate", "Glucose monohydrate"],
                ],
                "sucrose",
            ),
            _AIR,
            choice("into", "Into a", [["cask", "Cask"], ["keg", "Keg"]], "cask"),
            number("head_bar", "Gauge pressure it stood at", "bar", "0", "3", 2, "0"),
            number("store_c", "Warmest it is stored at", "°C", "0", "30", 1, "12"),
        ],
        "formula": "Sugar = (wanted − what is left from its warmest) × beer ÷ what a gram of sugar makes.",
        "steps": [
            ["left_g_l", "Left from its warmest", "g/L", 2],
            ["made", "Made by a gram of sugar", "g", 3],
            ["volumes", "Wanted, as volumes", "vol", 2],
        ],
        "results": [
            ["sugar_g", "Sugar", "g", 0],
            ["per_l", "In each litre", "g/L", 2],
            ["stored_bar", "Pressure it comes to", "bar", 2],
        ],
        "sources": ["beer-chart", "balling", "molar-masses"],
        "assumptions": [
            "The beer is fully fermented, with enough live yeast; all the sugar ferments.",
            "What is left is what it held at rest at its warmest: cooling later brings nothing back.",
        ],
        "function": priming,
    },
    {
        "name": "co2-for-tank",
        "title": "Carbon dioxide for a tank",
        "place": "cellar",
        "inputs": [
            number("beer_l", "Beer", "L", "1", "50000", 0),
            number("now_g_l", "Carbon dioxide now", "g/L", "0", "10", 2),
            number("target_g_l", "Carbon dioxide wanted", "g/L", "0", "10", 2),
            number("head_l", "Head space", "L", "0", "20000", 0, "0"),
            number("head_bar", "Head space at, gauge", "bar", "0", "5", 2, "0"),
            _TEMP,
            number("lost_pct", "Lost through the vent", "%", "0", "80", 0, "20"),
        ],
        "formula": "Gas = (beer × rise + head space ÷ volume of a kilogram there) ÷ (1 − lost).",
        "steps": [["beer_kg", "Into the beer", "kg", 2], ["head_kg", "Into the head space", "kg", 2]],
        "results": [["gas_kg", "Carbon dioxide", "kg", 1], ["gas_m3", "As gas at 15 °C", "m³", 1]],
        "sources": ["mass-balance", "gas-law"],
        "assumptions": ["What is lost goes into the room: extraction and the monitor first."],
        "function": tank_gas,
    },
]
