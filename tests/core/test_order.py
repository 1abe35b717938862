"""Order of arrival, repeats and batches change nothing, and no record can make the fold raise."""

import json

from hypothesis import given, settings
from hypothesis import strategies as st

from vesselside.core.door import views
from vesselside.core.run.authority import Administration
from vesselside.core.run.ledger import Run

from .builder import PROCEDURE, administration
from .sessions import TANGLE, fold


@settings(max_examples=300, deadline=None)
@given(st.permutations(range(len(TANGLE))), st.data())
def test_any_order_repetition_or_batching_folds_to_the_same_state(order, data):
    expected = json.dumps(fold(TANGLE), sort_keys=True)
    run = Run("r1", PROCEDURE, Administration(administration()))
    pending = [TANGLE[index] for index in order]
    while pending:
        size = data.draw(st.integers(1, len(pending)))
        batch, pending = pending[:size], pending[size:]
        run.add(batch)
        if data.draw(st.booleans()):
            run.add(batch[:1])
        views.changes(run)
    assert json.dumps(views.view(run), sort_keys=True) == expected


@settings(max_examples=150, deadline=None)
@given(st.sets(st.integers(0, len(TANGLE) - 1), min_size=1), st.data())
def test_folding_one_by_one_equals_folding_the_set_at_once(chosen, data):
    events = [TANGLE[index] for index in sorted(chosen)]
    shuffled = data.draw(st.permutations(events))
    run = Run("r1", PROCEDURE, Administration(administration()))
    for event in shuffled:
        run.add([event])
    assert json.dumps(views.view(run), sort_keys=True) == json.dumps(fold(events), sort_keys=True)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=8,
)


@settings(max_examples=300, deadline=None)
@given(
    st.integers(0, len(TANGLE) - 1),
    st.sampled_from(["data", "type", "person", "seen", "time", "hlc"]),
    JSON,
    st.data(),
)
def test_the_fold_never_raises_whatever_a_record_holds(index, attribute, junk, data):
    event = dict(TANGLE[index])
    if attribute == "data" and event["data"]:
        key = data.draw(st.sampled_from(sorted(event["data"])))
        event["data"] = {**event["data"], key: junk}
    else:
        event[attribute] = junk
    events = [*TANGLE[:index], event, *TANGLE[index + 1 :]]
    views.summary(views.fold("r1", events, PROCEDURE, administration()))
