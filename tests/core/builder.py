"""Unsigned events and a small invented procedure for tests of the fold."""

from vesselside.core import VERSION

ADMIN = [
    ("0000000000000001", "person.changed", {"person": "ash", "role": "starter", "status": "active"}),
    ("0000000000000002", "person.changed", {"person": "bay", "role": "brewer", "status": "active"}),
    ("0000000000000003", "person.changed", {"person": "col", "role": "duty", "status": "active"}),
    ("0000000000000004", "person.changed", {"person": "dee", "role": "manager", "status": "active"}),
    ("0000000000000005", "setting.changed", {"name": "soak", "value": "60"}),
    ("0000000000000006", "device.revoked", {"device": "lost-phone", "reason": "lost"}),
]
SEEN = "0000000000000006"


PHONES = ("walker", "phone-a", "phone-b", "phone-c", "lost-phone", "other-phone", "d-u", "d-x", "d-f")
PEOPLE = ("ash", "bay", "col", "dee")


def administration():
    told = [
        {"source": "/server", "subject": "/admin", "sequence": sequence, "type": kind, "data": data}
        for sequence, kind, data in ADMIN
    ]
    return told + [signed_in(person, device) for person in PEOPLE for device in PHONES]


def signed_in(person, device, at=0, how="password", **more):
    """The server's own event that `person` gave their secret on `device`, `at` milliseconds before the first record."""
    stamp = f"{START - 1 - at:012x}-0000"
    return {
        "id": f"in-{person}-{device}-{stamp}",
        "source": "/server",
        "subject": "/admin",
        "sequence": "0000000000000006",
        "type": "person.signed-in",
        "hlc": stamp,
        "data": {"person": person, "device": device, "how": how, "desk": how == "password", **more},
    }


PROCEDURE = {
    "id": "bench-clean",
    "version": 1,
    "sha256": "ab" * 32,
    "title": "Bench clean",
    "kind": "cleaning",
    "vessel_kinds": ["fermenter"],
    "settings": [{"id": "soak", "label": "Soak", "unit": "s", "default": "120", "source": "test"}],
    "inputs": [{"id": "volume", "label": "Charge", "unit": "L", "kind": "reading", "default": "100"}],
    "steps": [
        {
            "id": "vent",
            "title": "Open the vent",
            "critical": True,
            "cautions": ["pressure"],
            "entries": [
                {
                    "id": "seen",
                    "label": "At the vent",
                    "kind": "choice",
                    "options": [
                        {"id": "open", "label": "Open"},
                        {"id": "blocked", "label": "Blocked", "verdict": "stop", "advice": "Stop here."},
                    ],
                }
            ],
        },
        {
            "id": "strength",
            "title": "Measure the strength",
            "cautions": [],
            "proof": "process",
            "entries": [
                {
                    "id": "percent",
                    "label": "Strength",
                    "kind": "reading",
                    "unit": "%",
                    "places": 1,
                    "limits": {
                        "target": ["1.5", "2.5"],
                        "stop": ["1.0", "3.0"],
                        "low": "Add stock.",
                        "high": "Add water.",
                        "halt": "Do not go on.",
                        "source": "test",
                    },
                    "raises": [{"above": "2.8", "caution": "strong"}],
                }
            ],
        },
        {"id": "soak", "title": "Soak", "hold": {"seconds": {"setting": "soak"}}, "entries": []},
        {
            "id": "rinse",
            "title": "Rinse",
            "proof": "residue",
            "entries": [
                {"id": "mains", "label": "Mains pH", "kind": "reading", "unit": "pH"},
                {
                    "id": "ph",
                    "label": "Rinse pH",
                    "kind": "reading",
                    "unit": "pH",
                    "limits": {
                        "target": [
                            {"entry": "rinse.mains", "plus": "-0.3"},
                            {"entry": "rinse.mains", "plus": "0.3"},
                        ],
                        "stop": [None, None],
                        "high": "Rinse on.",
                        "low": "Rinse on.",
                        "source": "test",
                    },
                },
                {
                    "id": "weights",
                    "label": "Weights",
                    "kind": "reading",
                    "unit": "g",
                    "series": True,
                    "optional": True,
                },
            ],
        },
        {"id": "look", "title": "Look", "who": "second", "proof": "look", "entries": []},
        {"id": "tidy", "title": "Tidy", "anytime": True, "optional": True, "entries": []},
    ],
}
CAUTIONS = [
    {"id": "pressure", "version": 1, "title": "Pressure"},
    {"id": "strong", "version": 1, "title": "Strong caustic"},
]
START = 1_790_000_000_000

TABLED = {
    **PROCEDURE,
    "steps": [
        {
            "id": "read",
            "title": "Read",
            "cautions": [],
            "entries": [
                {"id": "litres", "label": "Litres", "kind": "reading", "unit": "L", "series": True},
                {"id": "gravity", "label": "Gravity", "kind": "reading", "unit": "", "series": True},
                {
                    "id": "mixed",
                    "label": "Mixed",
                    "kind": "reading",
                    "unit": "",
                    "optional": True,
                    "works": {
                        "calculation": "blend-brews",
                        "inputs": {"brews": {"series": ["read.litres", "read.gravity"]}},
                        "proposes": True,
                    },
                },
            ],
        }
    ],
}
"""A run whose one sum takes a table of two columns."""


class Pen:
    """Writes events of one device, `step` ms apart, as one person or another."""

    def __init__(self, device="phone-a", start=START, step=1000, run="r1"):
        self.device, self.now, self.step, self.run, self.number = device, start, step, run, 0

    def write(self, kind, person="bay", seen=SEEN, after=None, **data):
        from datetime import UTC, datetime

        self.now += self.step if after is None else after
        self.number += 1
        made = datetime.fromtimestamp(self.now / 1000, UTC)
        return {
            "specversion": "1.0",
            "id": f"{self.device}-{self.number:04d}",
            "source": f"/devices/{self.device}",
            "type": kind,
            "subject": f"/runs/{self.run}",
            "time": made.strftime("%Y-%m-%dT%H:%M:%S.") + f"{self.now % 1000:03d}Z",
            "person": person,
            "hlc": f"{self.now:012x}-0000",
            "seen": seen,
            "number": self.number,
            "data": {key: value for key, value in data.items() if value is not None},
            "prevhash": "0" * 64,
            "signature": "x",
        }

    def opened(self, **more):
        return self.write(
            "run.opened",
            procedure="bench-clean",
            version=1,
            sha256="ab" * 32,
            vessel="fv1",
            inputs={"volume": "100"},
            **more,
        )

    def entry(self, step, field, value, unit="", verdict="target", over=(), **more):
        data = {
            "typed": value,
            "how": "keyed",
            "core": VERSION,
            **{k: v for k, v in more.items() if k not in ("person", "after", "seen")},
        }
        rest = {k: v for k, v in more.items() if k in ("person", "after", "seen")}
        return self.write(
            "entry.made",
            step=step,
            field=field,
            value=value,
            unit=unit or None,
            verdict=verdict,
            over=list(over),
            **{**data, **rest},
        )

    def done(self, step, verdict="target", **more):
        return self.write("step.done", step=step, verdict=verdict, core=VERSION, **more)

    def clean(self, person="bay"):
        """A whole clean, from opening to finish, with nothing wrong."""
        events = [
            self.opened(person=person),
            self.write("caution.met", step="vent", caution="pressure", version=1, person=person),
            self.entry("vent", "seen", "open", person=person),
            self.done("vent", person=person),
            self.entry("strength", "percent", "2.0", "%", person=person),
            self.done("strength", person=person),
            self.write("hold.started", step="soak", seconds=60, person=person),
            self.write("hold.ended", step="soak", seconds=60, after=60_000, person=person),
            self.done("soak", person=person),
            self.entry("rinse", "mains", "7.4", "pH", person=person),
            self.entry("rinse", "ph", "7.5", "pH", person=person),
            self.done("rinse", person=person),
            self.done("look", person=person),
        ]
        events.append(
            self.write("sign.given", step="look", target=events[-1]["id"], role="duty", person="col")
        )
        events.append(self.write("run.finished", person=person))
        return events
