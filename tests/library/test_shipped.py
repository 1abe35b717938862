"""What has shipped under a version never changes: a brewery that published it would be refused the next upgrade."""

from tests.library.make_shipped import MOVE, WRITE, changed, kept, shipped


def test_a_changed_procedure_or_caution_has_a_new_version():
    now, before = shipped(), kept()
    other = changed(now, before)
    assert other == [], MOVE.format(names=", ".join(other))
    new = sorted(set(now) - set(before))
    assert new == [], WRITE.format(names=", ".join(new))
