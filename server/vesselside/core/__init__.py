"""The domain of Vesselside: pure rules and sums, the same source on the server and on the phone.

Nothing here reads a clock, a file or the network; time comes in as an argument.
"""

VERSION = "1"
"""Version of the rules, an integer as text; it is written into every judged event."""
