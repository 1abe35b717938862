"""The command line: what it prints and how it exits (0 done, 1 found wrong, 2 usage or environment)."""

import json
import os

import pytest
import requests

from tests.api.outside import Phone, new_run
from tests.living import Living
from tests.outside.chain import verify
from vesselside import library, store
from vesselside.store.base.db import db
from vesselside.store.base.models import Person, Run
from vesselside.store.site import founding, procedures, publishing

COMMANDS = ["serve", "demo", "enrol phone", "person add X --role brewer --pin-stdin", "rebuild", "check"]


@pytest.mark.parametrize("command", COMMANDS)
def test_without_tables_a_command_says_what_to_do(tmp_path, command):
    done = Living(tmp_path, f"sqlite:///{tmp_path / 'none.sqlite3'}").command(
        *command.split(), stdin="123456\n"
    )
    assert done.returncode == 2
    assert "vesselside migrate" in done.stderr
    assert done.stdout == ""


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"VESSELSIDE_DATABASE_URL": "postgresql://postgres@127.0.0.1:1/none"}, "does not answer"),
        ({"VESSELSIDE_DATABASE_URL": "mysql://x"}, "VESSELSIDE_DATABASE_URL"),
        ({"VESSELSIDE_DATABASE_URL": "nonsense"}, "VESSELSIDE_DATABASE_URL"),
        ({"VESSELSIDE_PORT": "eighty"}, "VESSELSIDE_PORT"),
        ({"VESSELSIDE_DATA": "/proc/nothing"}, "VESSELSIDE_DATA"),
    ],
)
def test_a_wrong_environment_is_named(tmp_path, change, word):
    living = Living(tmp_path, "")
    living.environment.update(change)
    done = living.command("migrate")
    assert done.returncode == 2
    assert word in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("command", [["nothing"], ["person", "add", "X"], ["enrol"], ["demo", "--yaml"]])
def test_wrong_usage_is_2(tmp_path, command):
    assert Living(tmp_path, "").command(*command).returncode == 2


def test_from_nothing_to_a_first_record(request, tmp_path):
    """`migrate`, `brewery`, `person add`, `enrol`, `serve`: an empty folder becomes a brewery."""
    living = Living(tmp_path, "")
    assert living.command("migrate").returncode == 0
    assert living.command("migrate").returncode == 0
    assert living.command("brewery", "Reed Lane").returncode == 0
    added = living.command("person", "add", "Ada Quill", "--role", "brewer", "--pin-stdin", stdin="246817\n")
    assert added.returncode == 0
    person = added.stdout.strip()
    weak = living.command("person", "add", "Weak", "--role", "brewer", "--pin-stdin", stdin="12\n")
    assert (weak.returncode, weak.stdout) == (2, "")
    code = living.command("enrol", "cellar phone").stdout
    assert len(code) == 11
    living.start()
    request.addfinalizer(living.stop)
    phone = Phone(living.url, code.strip())
    told = phone.post("/api/session", {"person": person, "pin": "246817"}).json()
    assert {name: told[name] for name in ("person", "role")} == {
        "person": person,
        "role": "brewer",
    }
    run = new_run()
    assert phone.push([phone.make(run, person=person)])[0]["status"] == "stored"
    assert verify(phone.get(f"/api/runs/{run}").json(), phone.get("/api/reference").json()) == 1
    assert phone.get("/api/reference").json()["procedures"]


def test_a_brewery_is_called_what_it_was_named(database_url, tmp_path):
    """It has no name of its own until somebody gives it one, and another may be given later."""
    living = Living(tmp_path, database_url)
    assert living.command("enrol", "phone").returncode == 0
    assert living.command("rebuild").stdout == "The brewery: 0 runs folded, 0 differences\n"
    assert living.command("brewery", " ").returncode == 2
    for name in ("Reed Lane", "Reed Lane Brewhouse"):
        assert living.command("brewery", name).returncode == 0
        assert living.command("rebuild").stdout == f"{name}: 0 runs folded, 0 differences\n"


def several(living: Living) -> list[str]:
    """Two breweries in one database; their ids."""
    assert living.command("brewery", "Reed Lane").returncode == 0
    another = living.command("brewery", "Fen Road", "--another")
    assert another.returncode == 0, another.stderr
    with living.inside():
        held = founding.breweries()
    assert [name for _, name in held] == ["Reed Lane", "Fen Road"]
    assert another.stdout == f"{held[1][0]}\n"
    return [brewery for brewery, _ in held]


@pytest.mark.parametrize(
    "command",
    [
        "enrol phone",
        "person add X --role brewer --pin-stdin",
        "brewery Y",
        "evidence r -o e",
        "rebuild",
        "check",
    ],
)
def test_where_there_are_several_breweries_one_must_be_named(database_url, tmp_path, command):
    living = Living(tmp_path, database_url)
    first, second = several(living)
    for more in ([], ["--brewery", "none"]):
        done = living.command(*command.split(), *more, stdin="246817\n")
        assert (done.returncode, done.stdout) == (2, "")
        assert "--brewery" in done.stderr
        assert f"{first}  Reed Lane\n" in done.stderr
        assert f"{second}  Fen Road\n" in done.stderr


def test_a_command_is_done_for_the_brewery_that_is_named(database_url, tmp_path):
    living = Living(tmp_path, database_url)
    first, second = several(living)
    add = ["person", "add", "Ada Quill", "--role", "brewer", "--pin-stdin"]
    person = living.command(*add, "--brewery", second, stdin="246817\n").stdout.strip()
    with living.inside():
        assert db.session.get(Person, (second, person)).name == "Ada Quill"
        assert db.session.get(Person, (first, person)) is None
    assert living.command("enrol", "phone", "--brewery", second).returncode == 0
    assert living.command("rebuild", "--brewery", second).stdout.startswith("Fen Road: ")
    assert living.command("check", "--brewery", second).stdout == "ok\n"
    assert living.command("brewery", "Fen Road Brewhouse", "--brewery", second).returncode == 0
    with living.inside():
        assert founding.breweries() == [(first, "Reed Lane"), (second, "Fen Road Brewhouse")]
    lone = Living(tmp_path, database_url).command("check", "--brewery", first)
    assert lone.returncode == 0


def test_the_demo_loads_once_and_verifies_from_the_outside(request, database_url, tmp_path):
    living = Living(tmp_path, database_url)
    first = living.command("demo", "--json")
    assert first.returncode == 0, first.stderr
    told = json.loads(first.stdout)
    assert json.loads(living.command("demo", "--json").stdout) == told
    manager = next(row for row in told["people"] if row["role"] == "manager")
    assert {"id", "name", "role", "password"} <= set(manager)
    assert {row["role"] for row in told["people"]} == {"starter", "brewer", "duty", "manager"}
    living.start()
    request.addfinalizer(living.stop)
    phone = Phone(living.url, living.code())
    sign_in = {"person": manager["id"], "password": manager["password"]}
    assert phone.post("/api/session", sign_in).status_code == 200
    runs = phone.get("/api/runs", limit=200).json()["runs"]
    known = phone.get("/api/reference").json()
    assert len(runs) >= 5
    for run in runs:
        assert verify(phone.get(f"/api/runs/{run['id']}").json(), known) > 0
    assert phone.get("/api/desk/needs").status_code == 200
    assert living.command("check").stdout == "ok\n"
    again = living.command("rebuild")
    assert (again.returncode, "0 differences" in again.stdout) == (0, True)


def test_the_demo_leaves_a_brewery_of_ones_own_alone(fresh):
    done = fresh.command("demo")
    assert done.returncode == 1
    assert "brewery of its own" in done.stderr


def test_migrate_folds_the_runs_that_a_newer_version_folds_otherwise(fresh):
    fresh.start()
    phone = Phone(fresh.url, fresh.code())
    run = new_run()
    phone.push([phone.make(run, "run.abandoned", {"reason": "tea", "left": "soiled"})])
    fresh.stop()
    with fresh.inside():
        brewery = founding.breweries()[0][0]
        db.session.get(Run, (brewery, run)).stale = True
        db.session.commit()
    assert fresh.command("migrate").returncode == 0
    with fresh.inside():
        assert db.session.get(Run, (brewery, run)).stale is False


def test_check_finds_a_log_that_was_tampered_with_below_the_triggers(fresh):
    """Someone with the database's own rights drops the triggers and rewrites a reading."""
    from sqlalchemy import text

    fresh.start()
    phone = Phone(fresh.url, fresh.code())
    run = new_run()
    phone.push([phone.make(run, data={"text": "pH 9.1"}), phone.make(run)])
    assert fresh.command("check").stdout == "ok\n"
    with fresh.inside():
        if db.engine.dialect.name == "sqlite":
            db.session.execute(text("DROP TRIGGER log_refuses_update"))
            rewrite = (
                "UPDATE log SET body = CAST(replace(CAST(body AS TEXT), 'pH 9.1', 'pH 7.0') AS BLOB) "
                "WHERE run = :run"
            )
        else:
            db.session.execute(text("DROP TRIGGER log_refuses_update ON log"))
            rewrite = (
                "UPDATE log SET body = convert_to(replace(convert_from(body, 'UTF8'), 'pH 9.1', 'pH 7.0'), 'UTF8') "
                "WHERE run = :run"
            )
        db.session.execute(text(rewrite), {"run": run})
        db.session.commit()
    found = fresh.command("check")
    assert found.returncode == 1
    assert "log_refuses_update is missing" in found.stdout
    assert "its hash is not that of its bytes" in found.stdout
    assert "its signature is not its source's" in found.stdout


def test_serve_ends_well_when_told_to(fresh):
    fresh.start()
    assert requests.get(f"{fresh.url}/healthz", timeout=30).ok
    assert fresh.stop() == 0


def test_what_ships_never_replaces_a_procedure_the_brewery_has_made_its_own(fresh):
    with fresh.inside():
        brewery = founding.breweries()[0][0]
        newest = {row["id"]: row for row in procedures.newest(brewery)}
        own = {**newest["fermenter-check"], "title": "Our own check"}
        publishing.publish_next(
            store.book(brewery), {**own, "version": own["version"] + 1}, by="mara", note="Ours."
        )
        shipped = [
            {
                **row,
                "version": row["version"] + 1,
                "sha256": library.sha256({**row, "version": row["version"] + 1}),
            }
            for row in (newest["fermenter-check"], newest["dry-hop"])
        ]
        left = store.publish_library(brewery, shipped, [])
        assert left == [f"fermenter-check version {own['version'] + 1}"]
        now = {row["id"]: row for row in procedures.newest(brewery)}
        assert now["fermenter-check"]["title"] == "Our own check"
        assert now["dry-hop"]["version"] == newest["dry-hop"]["version"] + 1
    assert fresh.command("migrate").returncode == 0


def test_check_names_file_line_and_field_of_a_procedure_file(tmp_path):
    shipped = (library.FOLDER / "procedures" / "fermenter-check.yaml").read_text(encoding="utf-8")
    good, bad = tmp_path / "good.yaml", tmp_path / "bad.yaml"
    good.write_text(shipped, encoding="utf-8")
    bad.write_text(shipped.replace("kind: cellar", "kind: celar", 1), encoding="utf-8")
    line = next(at for at, row in enumerate(shipped.splitlines(), 1) if row.startswith("kind: "))
    living = Living(tmp_path, "sqlite:///never-opened")
    assert living.command("check", str(good)).stdout == "ok\n"
    found = living.command("check", str(good), str(bad))
    assert found.returncode == 1
    assert found.stdout.startswith(f"bad.yaml:{line}: kind: celar is not one of")
    bad.write_bytes("kind: cellar".encode("utf-16"))
    found = living.command("check", str(bad))
    assert (found.returncode, found.stdout) == (1, "bad.yaml: no text in UTF-8\n")
    assert living.command("check", str(tmp_path / "none.yaml")).returncode == 2


def test_nothing_in_the_data_folder_is_anyone_elses_to_read(request, tmp_path):
    """Also with a mask that lets everyone read, and a folder that was open before."""
    folder = tmp_path / "data"
    folder.mkdir(mode=0o755)
    before = os.umask(0o022)
    request.addfinalizer(lambda: os.umask(before))
    living = Living(folder, "")
    assert living.command("migrate").returncode == 0
    assert living.command("brewery", "Reed Lane").returncode == 0
    (folder / "serve.log").touch(0o600)
    living.start()
    request.addfinalizer(living.stop)
    phone = Phone(living.url, living.code())
    content = b"\x89PNG\r\n\x1a\n"
    phone.send(f"/api/photos/{'0' * 64}", content, method="PUT", Content_Type="image/png")
    assert oct(folder.stat().st_mode & 0o777) == "0o700"
    found = {path.name: path.stat().st_mode & 0o077 for path in folder.rglob("*")}
    assert "vesselside.sqlite3" in found
    assert {name: mode for name, mode in found.items() if mode} == {}
