"""The closed lists a library file may choose from. A new kind of thing is one row here."""

from vesselside.core.plant import cards
from vesselside.core.run import instruments

KINDS = ("cleaning", "brew", "cellar", "packaging", "brewery", "trouble")
"""Kinds of procedure, in the order a brewery reads them; `trouble` is for when it goes wrong."""

VESSEL_KINDS = cards.KINDS
"""Kinds of vessel and line a procedure is done on."""

ENTRY_KINDS = ("reading", "choice", "text", "lot", "photo", "count")
PROOFS = ("process", "look", "residue", "micro", "sanitised")
VERDICTS = ("target", "advise", "stop")
SIGNERS = ("anyone", "brewer", "second")

INSTRUMENTS = instruments.KINDS
"""Kinds of instrument a reading names."""

CAUTION_GROUPS = ("chemical", "heat", "gas", "pressure", "entry", "machine", "body")
"""Hazard groups: the cautions of one group share a screen."""

PICTOGRAMS = (
    "GHS02", "GHS03", "GHS04", "GHS05", "GHS06", "GHS07", "GHS09",
    "W001", "W002", "W008", "W011", "W012", "W014", "W017", "W022", "W024", "W029", "W038", "W041",
    "M003", "M004", "M008", "M009", "P003", "P004",
)  # fmt: skip
"""Pictograms of the Globally Harmonised System and signs of ISO 7010, by their own numbers; the app draws them."""
