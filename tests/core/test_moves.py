"""A gyle's moves: volumes as read or as known by the moves before, what each lost, and what is lost so far."""

from typing import Any

import pytest

from tests.core.brewing import RECIPE
from tests.core.brewing import run as measured
from tests.core.moving import COPPER, VESSELS, canned, cast, run, transfer
from vesselside.core.brew import gyles


def moves(
    *runs: dict[str, Any], gyle: str = "g1", elsewhere: tuple[dict[str, Any], ...] = ()
) -> dict[str, Any]:
    for row in runs:
        row["run"].setdefault("vessel", "copper")
        row["run"].setdefault("gyle", gyle)
    place = {"gyle": gyle, "vessels": VESSELS, "elsewhere": list(elsewhere)}
    told: dict[str, Any] = gyles.gyle(RECIPE, {}, list(runs), [], [], place)["moves"]
    return told


def figures(rows: list[dict[str, Any]]) -> list[tuple[Any, ...]]:
    return [(row["move"], row["out"], row["in"], row["loss"], row["lost"]) for row in rows]


def test_each_move_says_whence_whither_what_went_what_came_and_what_is_lost_so_far():
    told = moves(COPPER, cast(), transfer(), canned())
    assert figures(told["rows"]) == [
        ("cast", "1240", "1190", "50", "50"),
        ("transfer", "1190", "1130", "60", "110"),
        ("pack", "1130", "1095", "35", "145"),
    ]
    first, second, third = told["rows"]
    assert [(row["from"], row["to"]) for row in told["rows"]] == [
        ([], "FV 1"), (["FV 1"], "BBT 1"), (["BBT 1"], "Canning line"),
    ]  # fmt: skip
    assert (second["run"], second["person"], second["time"]) == ("move", "bay", "2026-11-09T08:00:00.000Z")
    assert (first["unit"], first["loss_pct"], third["lost_pct"]) == ("L", "4.0", "11.7")
    assert second["working"]["calculation"] == "stage-loss"
    account = {row["id"]: row["value"] for row in told["account"]["results"]}
    assert (told["account"]["calculation"], account["total_l"]) == ("beer-losses", "145")


@pytest.mark.parametrize("turn", [0, 1, 2, 3])
def test_the_order_of_the_runs_changes_nothing(turn):
    runs = [COPPER, cast(), transfer(), canned()]
    assert moves(*runs[turn:], *runs[:turn]) == moves(*runs)


def test_beer_left_in_the_tank_is_not_lost_and_keeps_the_account_open():
    told = moves(
        COPPER, cast(), transfer(), canned(tank__left="40", tank__empty="part", account__packed="1060")
    )
    assert figures(told["rows"])[-1] == ("pack", "1090", "1060", "30", "140")
    assert told["rows"][-1]["empty"] is False
    assert told["account"] is None


def test_a_part_not_read_as_it_left_is_counted_when_the_rest_has_gone():
    part = transfer("one", 200, end__empty="part", end__volume="600")
    rest = transfer("two", 220, end__volume="540")
    told = moves(COPPER, cast(), part, rest)
    assert figures(told["rows"])[1:] == [
        ("transfer", None, "600", None, "50"),
        ("transfer", "590", "540", "50", "100"),
    ]


def test_a_second_brew_into_the_same_vessel_is_what_it_added():
    second = run("c2", 12, "second-brew-fill", "fv1", "fill", gravity__volume="2370")
    more = measured("copper2", 600, {"copper-end": "1235"})
    told = moves(COPPER, cast(), more, second)
    assert figures(told["rows"])[1][2] == "1180"


def test_what_is_not_known_is_left_open_and_a_gain_is_marked():
    (alone,) = moves(transfer())["rows"]
    assert figures([alone]) == [("transfer", None, "1130", None, "0")]
    assert moves(COPPER, cast(gravity__volume="1250"))["rows"][0]["working"]["marks"]
    assert (
        moves(COPPER, cast(), run("w", 30, "whirlpool-late-hops", "wp", "rest"))["rows"][-1]["move"] == "cast"
    )


def test_a_struck_volume_moves_nothing_and_a_corrected_one_moves_what_it_says():
    struck = cast()
    field = struck["run"]["steps"]["gravity"]["entries"]["volume"]
    field["all"][0]["state"], field["status"] = "struck", "empty"
    assert figures(moves(COPPER, struck)["rows"]) == [("cast", "1240", None, None, "0")]
    field["all"].append({**field["all"][0], "state": "live", "value": "1200"})
    field["status"] = "live"
    assert figures(moves(COPPER, struck)["rows"]) == [("cast", "1240", "1200", "40", "40")]


def test_a_blend_stands_on_the_pages_of_both_gyles():
    blend = run(
        "b", 230, "blend-and-rework", "bbt1", "move", why__from="G2", move__moved="55", move__empty="empty"
    )
    into = moves(COPPER, cast(), transfer(), blend)["rows"][-1]
    assert (into["gyle"], into["in"], into["loss"], into["to"]) == ("g2", "55", None, "BBT 1")
    other = cast("c2", 2, "fv2", gravity__volume="60")
    other["run"]["gyle"] = "g2"
    outof = moves(other, gyle="g2", elsewhere=(blend,))["rows"][-1]
    assert (outof["gyle"], outof["from"], outof["out"], outof["in"], outof["loss"]) == (
        "g1",
        ["FV 2"],
        "60",
        "55",
        "5",
    )
    more = moves(COPPER, cast(), transfer(), blend, canned(account__packed="1100"))["rows"][-1]
    assert (more["out"], more["loss"]) == ("1185", "85")


def test_what_is_dumped_is_lost_whole_and_only_when_it_is_dumped():
    given = {"duty__volume": "1180", "effluent__let_go": "1150"}
    dumped = run("d", 50, "brew-dumped", "fv1", "effluent", decide__decision="dump", **given)
    row = moves(COPPER, cast(), dumped)["rows"][-1]
    assert (row["move"], row["from"], row["to"], row["out"], row["loss"], row["lost"]) == (
        "dump", ["FV 1"], None, "1150", "1150", "1200",
    )  # fmt: skip
    kept = run("d", 50, "brew-dumped", "fv1", "effluent", decide__decision="keep", **given)
    assert len(moves(COPPER, cast(), kept)["rows"]) == 1


def test_a_volume_in_another_unit_is_not_taken_for_litres():
    odd = cast()
    odd["run"]["steps"]["gravity"]["entries"]["volume"]["all"][0]["unit"] = "hL"
    assert moves(COPPER, odd)["rows"][0]["in"] is None


def test_volumes_of_any_size_make_a_page():
    most = {"gravity__volume": "9" * 24}
    told = moves(
        COPPER, cast(**most), cast(name="again", hour=2, **most), transfer(end__left="0.5", end__empty="part")
    )
    assert told["rows"][-1]["out"] == "1999999999999999999999997.5"
