"""The closed lists a library file may choose from. A new kind of thing is one row here."""

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

INSTRUMENTS = (
    "burette", "co2-meter", "conductivity-meter", "flow-meter", "gas-monitor", "hydrometer", "level-gauge",
    "microscope", "oxygen-meter", "ph-meter", "pressure-gauge", "scales", "seam-gauge", "test-strip",
    "thermometer", "timer",
)  # fmt: skip
"""Kinds of instrument a reading names; each can be checked and found out of calibration."""

CAUTION_GROUPS = ("chemical", "heat", "gas", "pressure", "entry", "machine", "body")
"""Hazard groups: the cautions of one group share a screen."""

PICTOGRAMS = ("GHS02", "GHS03", "GHS04", "GHS05", "GHS06", "GHS07", "GHS08", "GHS09")
"""Pictograms of the Globally Harmonised System, by their own numbers."""
