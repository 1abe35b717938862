"""Going back in time: a server that was put back to a copy, and what comes back to it by itself."""
