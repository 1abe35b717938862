"""What the square code of a printed record says is held against the log, and against an evidence file."""

import json
from dataclasses import dataclass

import pytest

from tests.api.outside import Phone, digest_of, new_run
from tests.cli.test_tampering import below
from tests.living import Living


@dataclass
class Paper:
    """A printed record, and the server it came from."""

    living: Living
    phone: Phone
    run: str
    words: list[str]

    def check(self, words: list[str] | None = None) -> tuple[int, str]:
        """What `check` says of it."""
        done = self.living.command("check", "--printed", " ".join(words or self.words))
        assert "Traceback" not in done.stderr
        return done.returncode, done.stdout

    def verify(self, words: list[str] | None = None) -> tuple[int, str]:
        """What `verify` says of it beside an evidence file made for it."""
        text, file = " ".join(words or self.words), str(self.living.folder / "run.json")
        made = self.living.command("evidence", self.run, "-o", file, "--printed", " ".join(self.words))
        assert made.returncode == 0, made.stderr
        done = self.living.command("verify", file, "--printed", text)
        return done.returncode, done.stdout.strip()


@pytest.fixture
def paper(fresh) -> Paper:
    """A record printed while its run goes on."""
    fresh.start()
    phone, run = Phone(fresh.url, fresh.code()), new_run()
    phone.push([phone.make(run) for _ in range(3)])
    head = phone.get("/api/log/head").json()
    digest = digest_of(phone.get(f"/api/runs/{run}").json()["events"])
    words = ["VESSELSIDE-1", head["log"], run, digest, str(head["size"]), head["root"]]
    phone.push([phone.make(run), phone.make(new_run())])
    return Paper(fresh, phone, run, words)


def test_a_paper_fits_also_once_the_run_has_gone_on(paper):
    assert paper.check() == (0, "ok\n")
    assert paper.verify() == (0, "ok")


def other(word: str) -> str:
    """Another word of the same form."""
    return ("1" if word[0] != "1" else "2") + word[1:]


@pytest.mark.parametrize(
    ("at", "found", "code"),
    [
        (1, "no log here", "printed of-another-log"),
        (2, "its records are not those", "printed of-another-run"),
        (3, "its records are not those", "printed changed"),
        (5, "changed, dropped or put in", "printed not-tied"),
    ],
)
def test_a_paper_with_another_word_does_not_fit(paper, at, found, code):
    words = [other(word) if at == place else word for place, word in enumerate(paper.words)]
    status, told = paper.check(words)
    assert (status, found in told) == (1, True)
    assert paper.verify(words) == (1, code)


def test_a_paper_of_a_longer_log_is_found(paper):
    words = [*paper.words[:4], str(int(paper.words[4]) + 100), paper.words[5]]
    assert "the log has only" in paper.check(words)[1]


def test_records_dropped_with_all_that_tells_of_them_do_not_fit_the_paper(paper):
    """With the runs folded again `check` alone finds nothing any more; the paper lies in a drawer."""
    last = int(paper.words[4]) - 1
    below(
        paper.living,
        ("DELETE FROM log WHERE sequence > :last", {"last": last}),
        ("DELETE FROM heads WHERE size > :last", {"last": last}),
        ("DELETE FROM nodes", {}),
        ("UPDATE devices SET number = 2 WHERE id = :device", {"device": paper.phone.id}),
    )
    assert paper.living.command("rebuild", "--apply").returncode == 1
    assert paper.living.command("check").stdout == "ok\n"
    told = paper.check()[1]
    assert f"the log has only {last}" in told
    assert "its records are not those of the log" in told
    grown = Phone(paper.phone.url, paper.living.code())
    grown.push([grown.make(new_run()) for _ in range(3)])
    assert "one up to there was changed, dropped or put in" in paper.check()[1]


@pytest.mark.parametrize(
    "text", ["", "VESSELSIDE-1", "VESSELSIDE-2 a b c d e", "VESSELSIDE-1 a b c d e", "x" * 5000]
)
def test_what_is_no_text_of_a_square_code_is_wrong_usage(paper, text):
    done = paper.living.command("check", "--printed", text)
    assert (done.returncode, done.stdout) == (2, "")
    evidence = paper.living.folder / "run.json"
    evidence.write_text(json.dumps({}))
    assert paper.living.command("verify", str(evidence), "--printed", text).returncode == 2
