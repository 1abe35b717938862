"""What is lost between copper and package, and what a canning run yields."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.inputs import number

STAGES = ("Copper to fermenter", "Fermenter to bright tank", "Bright tank to package")


def stage_loss(*, into_l: float, out_l: float) -> dict:
    """Loss of one stage [L and %], volumes at 20 °C and one gravity.

    Formula: what went in - what came out, as a share of what went in. Range 1 to 100000 [L]. A gain is marked.
    Source: mass-balance. Example: 1000 L in, 930 out: 70 L, 7.0 %.
    """
    gains = ["More came out than went in: check the volumes, or what was added."] if out_l > into_l else []
    return {"lost_l": into_l - out_l, "lost_pct": 100.0 * (into_l - out_l) / into_l, "marks": gains}


def beer_losses(*, copper_l: float, fermenter_l: float, bright_l: float, packed_l: float) -> dict:
    """Loss of each stage and in all [L and %], volumes at 20 °C and one gravity.

    Formula: what went in - what came out, as a share of what went in; in all as a share of the copper. Range 1 to
    100000 [L]. A stage that gains is marked. Source: mass-balance. Example: 1000, 930, 880 and 850 L: 15.0 % in all.
    """
    volumes = [copper_l, fermenter_l, bright_l, packed_l]
    marks = []
    for n in range(3):
        if volumes[n + 1] > volumes[n]:
            marks.append(STAGES[n] + " gains: check the volumes, or what was added.")
    lost = [volumes[n] - volumes[n + 1] for n in range(3)]
    return {
        "total_pct": 100.0 * (copper_l - packed_l) / copper_l,
        "total_l": copper_l - packed_l,
        "cast_l": lost[0],
        "cast_pct": 100.0 * lost[0] / copper_l,
        "cellar_l": lost[1],
        "cellar_pct": 100.0 * lost[1] / fermenter_l,
        "pack_l": lost[2],
        "pack_pct": 100.0 * lost[2] / bright_l,
        "marks": marks,
    }


def stock_balance(
    *, opening_l: float, made_l: float, received_l: float, sent_l: float, lost_l: float, closing_l: float
) -> dict:
    """What a stock lacks of what it should hold [L and %], beer or pure alcohol alike; below nought it has too much.

    Formula: opening + made + received - sent - lost - closing, as a share of opening + made + received. Range 0 to
    1000000 [L]. Raises CoreError `order` when nothing was there. A gain is marked. Source: mass-balance. Example: 40,
    50 and 10 L in, 55 sent, 3 lost, 41 counted: 1 L, 1.0 %.
    """
    held = opening_l + made_l + received_l
    if held <= 0.0:
        raise CoreError("order", "Nothing was there and nothing came in.", field="opening_l")
    lacks = held - sent_l - lost_l - closing_l
    gains = (
        ["More is there than can be: something came in unwritten, or was counted twice."]
        if lacks < 0.0
        else []
    )
    return {
        "held_l": held,
        "expected_l": held - sent_l - lost_l,
        "lacks_l": lacks,
        "lacks_pct": 100.0 * lacks / held,
        "marks": gains,
    }


def canning_yield(
    *,
    beer_l: float,
    good: float,
    fill_ml: float,
    rejected: float,
    run_min: float,
    stopped_min: float,
    rated_h: float,
) -> dict:
    """Yield of a canning run [%], beer lost [L], rejects [%], and how much of the time and speed was used [%].

    Formula: yield = good x mean fill / beer; availability = (run - stopped) / run; speed = cans / (rated x time
    running). Range 1 to 100000 [L], 1 to 1000000 cans, 50 to 25000 [mL], 1 to 1440 [min], 1 to 100000 [cans/h]. Raises
    CoreError `order` when stops are longer than the run. Source: mass-balance. Example: 1900 L, 4200 cans of 441 mL,
    60 rejected, 240 min with 30 stopped, rated 1500: 97.5 %, 1.4 %, 87.5 %, 81.1 %.
    """
    if stopped_min >= run_min:
        raise CoreError("order", "The stops are as long as the run.", field="stopped_min")
    packed = good * fill_ml / 1000.0
    running = run_min - stopped_min
    speed = 100.0 * (good + rejected) / (rated_h * running / 60.0)
    marks = ["More packed than there was beer: check the figures."] if packed > beer_l else []
    if speed > 100.0:
        marks.append("Faster than the line's rated speed: check cans, times and the rating.")
    return {
        "yield_pct": 100.0 * packed / beer_l,
        "packed_l": packed,
        "lost_l": beer_l - packed,
        "reject_pct": 100.0 * rejected / (good + rejected),
        "available_pct": 100.0 * running / run_min,
        "speed_pct": speed,
        "cans_h": (good + rejected) / run_min * 60.0,
        "marks": marks,
    }


def _litres(key: str, label: str) -> dict:
    return number(key, label, "L", "1", "100000", 0)


def _stock(key: str, label: str) -> dict:
    return number(key, label, "L", "0", "1000000", 2)


ROWS = [
    {
        "name": "stage-loss",
        "title": "Loss of one stage",
        "place": "office",
        "inputs": [
            number("into_l", "Went in, as cooled", "L", "1", "100000", 0),
            number("out_l", "Came out, as cooled", "L", "1", "100000", 0),
        ],
        "formula": "Loss = what went in − what came out, as a share of what went in.",
        "steps": [],
        "results": [["lost_pct", "Lost", "%", 1], ["lost_l", "Lost", "L", 0]],
        "sources": ["mass-balance"],
        "assumptions": ["Volumes are at 20 °C, and the gravity is the same on both sides."],
        "function": stage_loss,
    },
    {
        "name": "beer-losses",
        "title": "Losses from copper to package",
        "place": "office",
        "inputs": [
            _litres("copper_l", "Cast from the copper, as cooled"),
            _litres("fermenter_l", "Into the fermenter"),
            _litres("bright_l", "Into the bright tank"),
            _litres("packed_l", "Packed"),
        ],
        "formula": "Loss = what went in − what came out, as a share of what went in.",
        "steps": [
            ["cast_l", "Copper to fermenter", "L", 0],
            ["cast_pct", "Copper to fermenter", "%", 1],
            ["cellar_l", "Fermenter to bright tank", "L", 0],
            ["cellar_pct", "Fermenter to bright tank", "%", 1],
            ["pack_l", "Bright tank to package", "L", 0],
            ["pack_pct", "Bright tank to package", "%", 1],
        ],
        "results": [["total_pct", "Lost in all", "%", 1], ["total_l", "Lost in all", "L", 0]],
        "sources": ["mass-balance"],
        "assumptions": ["Volumes at 20 °C; a beer let down with liquor is counted before that."],
        "function": beer_losses,
    },
    {
        "name": "stock-balance",
        "title": "Balance of a stock",
        "place": "office",
        "inputs": [
            _stock("opening_l", "At the last count"),
            _stock("made_l", "Made since"),
            _stock("received_l", "Received since"),
            _stock("sent_l", "Sent out since"),
            _stock("lost_l", "Lost and destroyed since"),
            _stock("closing_l", "Counted now"),
        ],
        "formula": "Lacks = opening + made + received − sent − lost − counted, as a share of the first three.",
        "steps": [
            ["held_l", "Opening, made and received", "L", 2],
            ["expected_l", "Should be there", "L", 2],
        ],
        "results": [["lacks_l", "Lacks", "L", 2], ["lacks_pct", "Lacks", "%", 2]],
        "sources": ["mass-balance"],
        "assumptions": ["All six in litres of one thing: beer of one strength, or pure alcohol."],
        "function": stock_balance,
    },
    {
        "name": "canning-yield",
        "title": "Yield of a canning run",
        "place": "packaging",
        "inputs": [
            _litres("beer_l", "Beer from the bright tank"),
            number("good", "Good cans", "", "1", "1000000", 0, whole=True),
            number("fill_ml", "Mean fill", "mL", "50", "25000", 1),
            number("rejected", "Rejected cans", "", "0", "1000000", 0, whole=True),
            number("run_min", "From start to finish", "min", "1", "1440", 0),
            number("stopped_min", "Stopped for", "min", "0", "1440", 0),
            number("rated_h", "Rated speed of the line", "cans/h", "1", "100000", 0),
        ],
        "formula": "Yield = good cans × mean fill ÷ beer; availability = time running ÷ time in all; "
        "speed = cans ÷ (rated speed × time running).",
        "steps": [["packed_l", "Packed", "L", 0], ["cans_h", "Speed, stops included", "cans/h", 0]],
        "results": [
            ["yield_pct", "Yield", "%", 1],
            ["lost_l", "Beer lost", "L", 0],
            ["reject_pct", "Rejected", "%", 1],
            ["available_pct", "Availability", "%", 1],
            ["speed_pct", "Speed", "%", 1],
        ],
        "sources": ["mass-balance"],
        "assumptions": ["Rejected cans are lost beer."],
        "function": canning_yield,
    },
]
