"""When the phone exchanges with the server: the rules of `sync/decide.ts`, on long random lives.

Each life is a few thousand inputs at random moments; the browser plays it and tells every step, and the rules are
read here, from what happened alone.
"""

import pytest

from tests.pwa.house import opened, scripted

SECOND = 1000
DEBOUNCE_END = 1_500
IN_VIEW = 20_000
OUT_OF_VIEW = 300_000
QUICK = 10_000
LONGEST_REST = 300_000

LIVE = """([seed, steps]) => {
    const { atStart, decide, hear } = parts.deciding;
    let state = seed;
    const random = () => {
        state = (state * 1664525 + 1013904223) % 4294967296;
        return state / 4294967296;
    };
    const pick = (list) => list[Math.floor(random() * list.length)];
    const after = [
        () => ({ kind: "answered", more: random() < 0.2 }),
        () => ({ kind: "failed", chance: random(), retryAfter: random() < 0.3 ? 60000 * random() : null }),
        () => ({ kind: "failed", chance: random(), retryAfter: null, slow: Math.floor(random() * 500) }),
        () => ({ kind: "too-large", sent: 1 + Math.floor(random() * 500) }),
        () => ({ kind: "busy" }),
        () => ({ kind: "disowned" }),
    ];
    const any = [
        () => ({ kind: "tap" }), () => ({ kind: "tap" }), () => ({ kind: "tap" }),
        () => ({ kind: "asked" }), () => ({ kind: "online" }),
        () => ({ kind: "view", visible: random() < 0.5 }),
        () => ({ kind: "enrolled" }),
    ];
    let now = 1000000;
    let world = atStart(now, true);
    const told = [];
    const say = (input) => {
        const decision = decide(world, now);
        told.push({ now, input, decision, running: world.running, enrolled: world.enrolled, visible: world.visible });
    };
    const act = () => {
        if (decide(world, now).do !== "exchange") return;
        world = hear(world, { kind: "begun" }, now);
        say({ kind: "begun" });
    };
    say({ kind: "start" });
    for (let step = 0; step < steps; step++) {
        const decision = decide(world, now);
        const pause = random() < 0.6 ? random() * 800 : random() * 100000;
        now += Math.floor(decision.do === "wait" ? Math.min(pause, decision.until - now) : pause);
        const input = world.running && random() < 0.5 ? pick(after)() : pick(any)();
        world = hear(world, input, now);
        say(input);
        act();
    }
    return told;
}"""


@pytest.fixture(scope="module", params=range(4))
def life(request, browser):
    """One life, told step by step."""
    with scripted() as network:
        page = opened(browser, network.origin)
        told = page.evaluate(LIVE, [request.param * 7919 + 1, 3000])
        page.close()
    assert sum(step["input"]["kind"] == "begun" for step in told) > 50
    return told


def test_never_two_exchanges_at_once(life):
    running = False
    for step in life:
        kind = step["input"]["kind"]
        assert not (kind == "begun" and running)
        if kind == "begun":
            running = True
        elif kind in {"answered", "failed", "too-large", "busy", "disowned"}:
            running = False


def test_nothing_is_sent_without_an_enrolment(life):
    enrolled = False
    for step in life:
        kind = step["input"]["kind"]
        enrolled = kind == "enrolled" or (enrolled and kind != "disowned")
        assert enrolled or kind != "begun"
        assert enrolled or step["decision"]["do"] == "rest"


def test_a_server_that_asked_for_time_gets_it_whoever_asks(life):
    away = 0
    for step in life:
        kind = step["input"]["kind"]
        if kind == "failed" and step["input"]["retryAfter"] is not None:
            away = step["now"] + step["input"]["retryAfter"]
        if kind == "enrolled":
            away = 0
        assert not (kind == "begun" and step["now"] < away)


def test_a_failure_is_followed_by_rest_that_grows_and_ends(life):
    failures, rest = 0, 0.0
    for step in life:
        kind, now = step["input"]["kind"], step["now"]
        if kind == "failed":
            rest = now + min(LONGEST_REST, 2 * SECOND * 2**failures) / 2
            failures += 1
        if kind in {"answered", "enrolled"}:
            failures, rest = 0, 0.0
        if kind in {"asked", "online"} or (kind == "view" and step["input"]["visible"]):
            rest = 0.0
        assert not (kind == "begun" and now < rest)
        if step["decision"]["do"] == "wait":
            assert step["decision"]["until"] - now <= LONGEST_REST


def test_a_record_goes_out_soon_and_a_stream_of_them_cannot_put_it_off(life):
    first = None
    held_back = False
    for step in life:
        kind, now = step["input"]["kind"], step["now"]
        if kind == "begun":
            first = None
        if kind == "tap" and first is None:
            first = now
        if kind in {"failed", "busy", "disowned"}:
            held_back = True
        if kind in {"answered", "enrolled"}:
            held_back = False
        decision = step["decision"]
        if first is not None and not held_back and decision["do"] == "wait":
            assert decision["until"] <= first + DEBOUNCE_END


def test_more_to_come_is_fetched_at_once(life):
    for step in life:
        if step["input"]["kind"] == "answered" and step["input"]["more"] and step["enrolled"]:
            assert step["decision"]["do"] == "exchange"


def test_with_nothing_to_do_the_server_is_asked_now_and_then(life):
    for step in life:
        if step["input"]["kind"] == "answered" and not step["input"]["more"]:
            decision = step["decision"]
            pause = IN_VIEW if step["visible"] else OUT_OF_VIEW
            assert decision["do"] in {"exchange", "wait", "rest"}
            if decision["do"] == "wait":
                assert decision["until"] - step["now"] <= pause


def test_too_large_a_push_is_halved_down_to_one_and_grows_again(page):
    sizes = page.evaluate(
        """() => {
            const { atStart, decide, hear } = parts.deciding;
            let world = hear(atStart(0, true), { kind: "enrolled" }, 0);
            const sizes = [];
            const turn = (input) => {
                const decision = decide(world, 0);
                sizes.push(decision.batch);
                world = hear(hear(world, { kind: "begun" }, 0), input(decision.batch), 0);
            };
            for (let times = 0; times < 10; times++) turn((sent) => ({ kind: "too-large", sent }));
            for (let times = 0; times < 10; times++) turn(() => ({ kind: "answered", more: true }));
            return sizes;
        }"""
    )
    assert sizes[:10] == [500, 250, 125, 62, 31, 15, 7, 3, 1, 1]
    assert sizes[10:] == [1, 2, 4, 8, 16, 32, 64, 128, 256, 500]


def test_the_same_inputs_give_the_same_decisions(page):
    assert page.evaluate(LIVE, [42, 500]) == page.evaluate(LIVE, [42, 500])


def test_what_a_slow_line_gave_up_is_tried_with_half_as_much_and_more_only_after_a_quick_exchange(life):
    most, page, begun = 500, 500, 0
    for step in life:
        kind, now = step["input"]["kind"], step["now"]
        if kind == "begun":
            begun = now
        if kind == "failed" and "slow" in step["input"]:
            sent = step["input"]["slow"]
            most = max(1, min(most, sent) // 2) if sent else most
            page = max(1, page // 2)
        if kind == "too-large":
            most = max(1, min(most, step["input"]["sent"]) // 2)
        if kind == "answered" and now - begun <= QUICK:
            most, page = min(500, most * 2), min(500, page * 2)
        if step["decision"]["do"] == "exchange":
            assert (step["decision"]["batch"], step["decision"]["page"]) == (most, page)
    assert any("slow" in step["input"] for step in life)
