"""A phone of the contract's that also does what a phone does when the log was put back. None of the product's code."""

import time
from typing import Any

from tests.api.outside import Event, Phone, instant


class Keeper(Phone):
    """A phone that keeps what it makes and pulls, where it is in the log, and which life of the log that is."""

    def __init__(self, url: str, code: str, name: str = "keeper") -> None:
        super().__init__(url, code, name)
        self.made: list[Event] = []
        self.returning: list[Event] = []
        self.place: dict[str, str] = {}

    def make(self, run: str, kind: str = "note.added", data: Event | None = None, **changes: Any) -> Event:
        """The next event of the chain, kept."""
        event = super().make(run, kind, data, **changes)
        self.made.append(event)
        return event

    def sync(self, events: list[Event] | None = None, **more: Any) -> dict[str, Any]:
        """Push and pull until there is no more; when the log was put back, go back with it and begin again there."""
        waiting = list(events or [])
        while True:
            body = {**self.place, **more}
            if self.returning:
                body["returned"] = self.returning
            answer = self.exchange(waiting, **body)
            if answer.status_code == 401:
                assert self.known_again().status_code == 200
                continue
            if answer.status_code == 409:
                waiting = self.go_back(answer.json())
                continue
            assert answer.status_code == 200, answer.text
            told = answer.json()
            if self.returning:
                assert {row["status"] for row in told["returned"]} <= {"stored", "repeat"}, told
            self.returning, waiting = [], []
            self.pulled += told["events"]
            self.cursor, self.place = told["cursor"], {"at": told["at"], "epoch": told["epoch"]}
            if not told["more"]:
                return told

    def go_back(self, said: dict[str, Any]) -> list[Event]:
        """Drop the server's events above what is shared; what to send again."""
        shared = said["shared"]
        later = [event for event in self.pulled if event["sequence"] > shared]
        self.pulled = [event for event in self.pulled if event["sequence"] <= shared]
        mine = [e for e in later if e["source"] == "/server"]
        self.returning += [bare(event) for event in sorted(mine, key=lambda event: event["number"])]
        self.cursor, self.place = shared, {"epoch": said["epoch"]}
        return self.made + [bare(event) for event in later if event["source"] != "/server"]

    def known_again(self, enrolled: Event | None = None, **changes: Any) -> Any:
        """Show that this is the device that an event of the server's says was enrolled."""
        own = [e for e in self.pulled if e["type"] == "device.enrolled" and e["data"]["device"] == self.id]
        claim = {
            "purpose": "known-again",
            "log": self.enrolled["brewery"],
            "device": self.id,
            "time": instant(int(time.time() * 1000)),
            **changes,
        }
        own = [event for event in (enrolled, *map(bare, own)) if event]
        body = {"log": claim["log"], "device": claim["device"], "time": claim["time"]}
        body |= {"signature": self.word(claim)} | ({"enrolled": own[0]} if own else {})
        return self.post("/api/devices/known", body)

    def word(self, claim: dict[str, Any]) -> str:
        """This phone's signature over what it claims."""
        return str(self.key.sign(claim)["signature"])


def bare(event: Event) -> Event:
    """An event without what the server put to it."""
    return {name: value for name, value in event.items() if name not in ("sequence", "recordedtime")}
