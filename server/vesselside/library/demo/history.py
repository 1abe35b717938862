"""A week at the demo brewery, ending now: runs performed by the script in `runs.yaml`.

Each run is performed through the core, signed by a demo phone and taken in as a real phone's push would be, at the
time it would have arrived.
"""

from collections.abc import Mapping
from operator import itemgetter
from typing import Any

from vesselside.core.brew import brewsheet

from .device import Device, digest_of, uuid7
from .moments import moment
from .performer import MINUTE, Performance, Person

HOURS_SIGNED_IN = 8
"""How long the demo's people go on without giving their secret again; a desk is open for twelve."""
Arrival = tuple[int, Device, list[dict[str, Any]]]


def way_in(person: Mapping[str, str]) -> dict[str, Any]:
    """How a person signs in: a manager by the password that opens the desk, everyone else by PIN."""
    manager = person["role"] == "manager"
    return {"how": "password" if manager else "pin", "desk": manager}


def moment_in(row: Mapping[str, Any], now: int) -> int:
    """When a row of the script begins [ms]."""
    if "minutes-ago" in row:
        return now - int(row["minutes-ago"]) * MINUTE
    return moment(now, int(row["days-ago"]), row["clock"])


def moment_of(event: Mapping[str, Any]) -> int:
    """When an event was made [ms]."""
    return int(event["hlc"][:12], 16)


class History:
    """Performs the script's runs and keeps what arrives when."""

    def __init__(
        self, *, now: int, procedures: Mapping[str, dict[str, Any]], cautions: list[dict[str, Any]],
        admin: list[dict[str, Any]], devices: Mapping[str, Device], place: Mapping[str, Any],
    ) -> None:  # fmt: skip
        self.now, self.procedures, self.cautions, self.admin = now, procedures, cautions, admin
        self.devices = devices
        self.people: dict[str, Person] = {
            row["id"]: {"id": row["id"], "role": row["role"]} for row in place["people"]
        }
        self.cards = {kind: {row["id"]: row for row in place[f"{kind}s"]} for kind in ("vessel", "recipe")}
        self.cards["sheet"] = {
            row["id"]: brewsheet.targets(brewsheet.brew_sheet(row, place["settings"]))
            for row in place["recipes"]
        }
        self.vessels: list[dict[str, Any]] = place["vessels"]
        self.settings: Mapping[str, str] = place["settings"]
        self.summaries: list[dict[str, Any]] = []
        self.arrivals: list[Arrival] = []
        self.paused: dict[str, tuple[Performance, Mapping[str, Any]]] = {}
        """Runs that go on later, by the name the script gives them."""

    def perform(self, row: Mapping[str, Any], usual: Mapping[str, Any]) -> None:
        """Perform one run of the script; `usual` are the readings of its procedure on a good day."""
        at = moment_in(row, self.now)
        if "resumes" in row:
            run, row = self.paused.pop(row["resumes"])
            run.resume(at, self._present(run.device.id, at), self._plant())
            self._go_on(run, row, after=row["pauses"])
            return
        device = self.devices[row["device"]]
        run = Performance(
            run=uuid7(at),
            procedure=self.procedures[row["procedure"]],
            cautions=self.cautions,
            admin=[*self.admin, *self._present(device.id, at)],
            device=device,
            person=self.people[row["person"]],
            at=at,
            opening=self._opening(row),
            readings={**usual, **row.get("readings", {})},
            plant=self._plant(),
            pace=float(row.get("pace", "1")),
        )
        self._go_on(run, row, after=None)

    def _plant(self) -> dict[str, Any]:
        return {"vessels": self.vessels, "runs": self.summaries, "settings": self.settings}

    def _go_on(self, run: Performance, row: Mapping[str, Any], *, after: str | None) -> None:
        """Do what is left of a run, from its beginning or from the pause; its phone sends what it then holds."""
        sent = 0 if after is None else len(run.events)
        if self._steps(run, row, after):
            run.wait(1)
            run.act("finish")
        kept = [line for line in self.summaries if line["id"] != run.run]
        self.summaries = [*kept, run.summary()]
        received = run.at + int(float(row.get("hours-late", "0")) * 60 * MINUTE) + 2000
        mine = [event for event in run.events[sent:] if event["source"] == f"/devices/{run.device.id}"]
        self.arrivals.append((received, run.device, mine))
        if "review" in row:
            self._review(run, row["review"], received)

    def _opening(self, row: Mapping[str, Any]) -> dict[str, Any]:
        """What the run is opened with."""
        opening = {"vessel": row.get("vessel"), "gyle": row.get("gyle"), "inputs": self._inputs(row)}
        if "recipe" in row:
            card = self.cards["recipe"][row["recipe"]]
            opening["recipe"] = {"id": card["id"], "version": card["version"]}
        return opening

    def _inputs(self, row: Mapping[str, Any]) -> dict[str, str]:
        """What is asked on opening: from the cards of vessel and recipe, its sheet, else from the script."""
        found = dict(row.get("inputs", {}))
        for asked in self.procedures[row["procedure"]].get("inputs", []):
            kind, _, attribute = asked.get("from", "").partition(".")
            card = "recipe" if kind == "sheet" else kind
            if kind and asked["id"] not in found and card in row:
                found[asked["id"]] = self.cards[kind][row[card]][attribute]
        return found

    def _steps(self, run: Performance, row: Mapping[str, Any], after: str | None) -> bool:
        """Do the steps as the script goes, or those from the pause on; False when it leaves the run open."""
        for step in run.steps_from(after):
            if step["id"] == row.get("until"):
                run.begin(step)
                return False
            if step["id"] == row.get("pauses") and after is None:
                self.paused[row["name"]] = (run, row)
                return False
            run.wait(float(row.get("waits", {}).get(step["id"], "0")))
            if step["id"] in row.get("skips", {}):
                run.act("skip", step=step["id"], reason=row["skips"][step["id"]])
                continue
            if step["id"] in row.get("slips", {}):
                self._slip(run, step, row["slips"][step["id"]])
            if step["id"] in row.get("deviations", {}):
                self._deviate(run, step, row["deviations"][step["id"]])
            if step["id"] in row.get("overrides", {}):
                run.begin(step)
                run.fill_in(step)
                self._override(run, step, row["overrides"][step["id"]])
                done = run.act("done", step=step["id"])
            else:
                done = run.do(step)
            signer = self.people[row.get("signs", row["person"])]
            starter = step.get("critical") and run.person["role"] == "starter"
            if step.get("who") == "second" or starter:
                run.wait(1)
                run.act("sign", by=signer, step=step["id"], role=signer["role"])
            if done["data"]["verdict"] == "advise":
                run.act("note", step=step["id"], text=row.get("notes", {})[step["id"]])
        return True

    def _slip(self, run: Performance, step: dict[str, Any], slip: Mapping[str, str]) -> None:
        """A reading keyed wrong and struck at once; the right one follows with the step."""
        entry = next(entry for entry in step["entries"] if entry["id"] == slip["field"])
        run.begin(step)
        wrong = run.act("enter", step=step["id"], field=entry["id"], typed=slip["typed"], how="keyed")
        run.wait(0.3)
        run.act("strike", target=wrong["id"], reason=slip["reason"])

    def _deviate(self, run: Performance, step: dict[str, Any], told: Mapping[str, Any]) -> None:
        """A reading out of bounds, raised as a deviation and answered by the duty brewer before the step is done."""
        run.begin(step)
        entry = next(entry for entry in step["entries"] if entry["id"] == told["field"])
        run.key(step, entry, told["typed"], "keyed")
        raised = run.act("deviate", step=step["id"], field=told["field"], text=told["text"])
        run.wait(4)
        run.act("answer", by=self.people[told["by"]], deviation=raised["id"], text=told["action"])

    def _override(self, run: Performance, step: dict[str, Any], told: Mapping[str, Any]) -> None:
        """An interlock overridden by the duty brewer, for which the manager answers from the desk."""
        words = {"reason": told["reason"], "check": told["check"]}
        raised = run.act(
            "override", by=self.people[told["by"]], step=step["id"], interlock=told["interlock"], **words
        )
        run.wait(2)
        answered = told["answered"]
        desk = self.devices[answered["device"]]
        run.hear(self._present(desk.id, run.at))
        answer = run.act(
            "answer",
            by=self.people[answered["by"]],
            device=desk,
            deviation=raised["id"],
            text=answered["text"],
        )
        self.arrivals.append((run.at + 2000, desk, [answer]))

    def _review(self, run: Performance, told: Mapping[str, str], received: int) -> None:
        desk = self.devices[told["device"]]
        run.at = max(received, moment(run.at, 0, told["clock"]))
        run.hear(self._present(desk.id, run.at))
        digest = digest_of(run.events)
        event = run.act(
            "review",
            by=self.people[told["by"]],
            device=desk,
            verdict=told["verdict"],
            digest=digest,
            text=told["text"],
        )
        self.arrivals.append((run.at + 2000, desk, [event]))

    def _present(self, device: str, at: int) -> list[dict[str, Any]]:
        """The server's word that each of the people had signed in on a device, as its phone would have heard it."""
        return [
            {
                "id": f"in-{row['id']}-{device}-{at}", "source": "/server", "subject": "/admin",
                "sequence": "0" * 16, "type": "person.signed-in", "hlc": f"{at - 1000:012x}-0000",
                "data": {"person": row["id"], "device": device, **way_in(row)},
            }
            for row in self.people.values()
        ]  # fmt: skip

    def sign_ins(self) -> list[tuple[int, str, str]]:
        """When whom the server let sign in where, in order: (moment [ms], person, device)."""
        made = sorted(
            (moment_of(event), event["person"], device.id)
            for _, device, events in self.arrivals
            for event in events
        )
        found: list[tuple[int, str, str]] = []
        last: dict[tuple[str, str], int] = {}
        for at, person, device in made:
            if at - last.get((person, device), 0) > HOURS_SIGNED_IN * 60 * MINUTE:
                last[(person, device)] = at
                found.append((at - 1000, person, device))
        return found

    def in_order(self) -> list[Arrival]:
        """What arrives, in order of arrival, nothing after now."""
        late = [received for received, _, _ in self.arrivals if received > self.now]
        if late:
            raise RuntimeError("The demo's script runs into the future")
        return sorted(self.arrivals, key=itemgetter(0))
