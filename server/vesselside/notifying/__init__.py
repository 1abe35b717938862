"""Sends what comes to a person by itself, a push message a phone (RFC 8030, 8291, 8292), whether or not anybody asks.

    start(app, settings)            a thread that does so for as long as its process serves
    work(app, settings, stop)       the same in the foreground, until told to stop
    turn(app, settings) → int       once; how many were handed over

Of all processes one works for a brewery at a time.
"""

from .loop import start, turn, work

__all__ = ["start", "turn", "work"]
