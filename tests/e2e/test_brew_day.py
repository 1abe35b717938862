"""A whole brew day of one gyle with no signal: mash, run-off and boil miss their targets and are corrected."""

from decimal import Decimal

from playwright.sync_api import expect

from tests.e2e.dark import done_in_the_dark
from tests.e2e.hand import DESK

GYLE = "g401"
RECIPE = {"Gyle": "G401", "Recipe": "Lantern Field pale ale"}
NEXT = {"Gyle": "G401"}

# What the hand reads. The sheet wants 66.0 °C in the mash, 1.0392 run off, 1.0420 at the end of 1240 L.
MASH = {
    "Base malt": "211.6",
    "Second malt": "14.7",
    "Malt in all": "226.3",
    "Malt temperature": "18",
    "Mash tun temperature": "60",
    "Hot liquor now": "84",
    "Cold liquor now": "12",
    "Liquor used": "611",
    "Near the door": "64.2",
    "In the middle": "64.4",
    "At the far side": "64.3",
    "Mash now": "64.3",
    "Liquor to add is at": "90",
    "Mash after": "65.9",
}
RUN_OFF = {
    "Hydrometer reading": "1.0700",
    "Sample temperature": "20",
    "Sparge liquor": "72.5",
    "Rests needed": "3",
    "Runnings at 20 °C": "1.0080",
    "Copper full, hot": "1330",
    "Wort temperature": "85",
    "Gravity at 20 °C": "1.0430",
}
COPPER = {
    "Alpha on the pack": "9.1",
    "First hops": "1.33",
    "Copper-up gravity at 20 °C": "1.0430",
    "Copper-up, hot": "1330",
    "Wort temperature": "98",
    "Hydrometer reading": "1.0450",
    "Sample temperature": "20",
    "End of boil, hot": "1230",
}
WHIRLPOOL = {"Late hops": "1.86", "Stand temperature": "80", "Wort at the start": "98", "Wort": "80"}
# The fermenter was sanitised the day before: its fill is stopped until it has been proved again.
RINSE = {"Mains pH": "7.40", "Mains conductivity": "410"}
CAST = {
    "Live cells counted": "150",
    "Dead cells counted": "6",
    "Squares counted": "5",
    "Diluted": "100",
    "Hydrometer reading": "1.0421",
    "Sample temperature": "20",
    "Collected": "1205",
}
DAY = [
    ("Mash tun", "Grist and mash-in", RECIPE, MASH),
    ("Mash tun", "Stand, run-off and sparge", NEXT, RUN_OFF),
    (
        "Copper",
        "Copper boil and additions",
        NEXT,
        COPPER,
        "Liquor to add now",
        "Liquor to bring it to gravity",
    ),
    ("Whirlpool", "Whirlpool and late hops", NEXT, WHIRLPOOL),
    ("FV 4", "Fermenter rinse and sanitise before fill", {}, RINSE),
    ("FV 4", "Cast, oxygenate and pitch", NEXT, CAST),
]


def entries(events, step, field):
    return [
        event["data"]
        for event in events
        if event["type"] == "entry.made" and (event["data"]["step"], event["data"]["field"]) == (step, field)
    ]


def test_a_brew_day_with_no_signal_corrected_at_each_stage_stands_beside_its_plan(brewery, phone):
    told = done_in_the_dark(brewery, phone, *DAY)
    mash, run_off, copper, _, _, cast = [answer["events"] for answer in told]

    # The mash came out cold: judged so, corrected with the liquor the sum gave, and read again on target.
    assert [row["verdict"] for row in entries(mash, "mash-temperature", "middle")] == ["advise"]
    (added,) = entries(mash, "correct", "volume")
    assert added["from"]["calculation"] == "mash-correction"
    assert Decimal(added["value"]) > 0
    assert [row["verdict"] for row in entries(mash, "correct", "after")] == ["target"]
    # The run-off was cool and slow; the copper filled too strong and the end of the boil was too strong: let down.
    assert entries(run_off, "sparge-liquor", "temperature")[0]["verdict"] == "advise"
    assert entries(copper, "gravity", "planned")[0]["verdict"] == "advise"
    for step, sum_ in (("gravity", "copper-up"), ("end-gravity", "end-of-boil")):
        (liquor,) = entries(copper, step, "liquor")
        assert liquor["from"]["calculation"] == sum_
        assert Decimal(liquor["value"]) > 0
    assert "sanitised" in told[4]["run"]["proofs"]
    assert entries(cast, "gravity", "gravity")[0]["verdict"] == "target"

    desk = phone("desk", "Ishbel Tarrant", DESK)
    desk.go("record", "gyle", GYLE)
    page = desk.page
    expect(page.get_by_role("heading", name=f"Gyle {GYLE}")).to_be_visible(timeout=60_000)
    for line, planned, actual in (
        ("Malt", "226.3", "226.3"),
        ("Mash temperature", "66.0", "64.4"),
        ("Gravity run off", "1.0392", "1.0430"),
        ("Collected from one brew", "1200", "1205"),
    ):
        row = page.locator(".beside tr", has=page.get_by_role("rowheader", name=line, exact=True))
        expect(row).to_contain_text(planned)
        expect(row).to_contain_text(actual)
