"""The closed lists a library file may choose from. A new kind of thing is one row here."""

from vesselside.core import instruments

KINDS = ("cleaning", "brew", "cellar", "packaging", "brewery")
"""Kinds of procedure, in the order a brewery reads them."""

VESSEL_KINDS = (
    "liquor-tank", "mash-tun", "copper", "whirlpool", "heat-exchanger", "fermenter", "yeast-vessel",
    "bright", "cask-line", "keg-line", "canning-line",
)  # fmt: skip
"""Kinds of vessel and line a procedure is done on."""

ENTRY_KINDS = ("reading", "choice", "text", "lot", "photo", "count")
PROOFS = ("process", "look", "residue", "micro", "sanitised")
VERDICTS = ("target", "advise", "stop")
SIGNERS = ("anyone", "brewer", "second")

INSTRUMENTS = instruments.KINDS
"""Kinds of instrument a reading names."""

CAUTION_GROUPS = ("chemical", "heat", "gas", "pressure", "entry", "machine", "body")
"""Hazard groups: the cautions of one group share a screen."""

PICTOGRAMS = ("GHS02", "GHS03", "GHS04", "GHS05", "GHS06", "GHS07", "GHS08", "GHS09")
"""Pictograms of the Globally Harmonised System, by their own numbers."""
