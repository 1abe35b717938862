"""The domain of Vesselside: pure rules and sums, the same source on the server and on the phone.

Nothing here reads a clock, a file or the network; time comes in as an argument.
"""

VERSION = "8"
"""Version of the rules, an integer as text; it is written into every judged event, and moves when they do."""
OLDEST = "1"
"""The oldest core by which a phone may go on recording; an older one keeps its last reference and says so."""
