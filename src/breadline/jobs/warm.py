"""The season model made ready in the background, so that no page waits for it to be compiled."""

from __future__ import annotations

import threading

import numpy as np


def warm_up() -> threading.Thread:
    """Begin to compile the season, or to bring in from disk what was compiled before.

    Returns the thread, which ends with the program whether it is done or not. A season asked
    for meanwhile waits for what is left of it. Without numba there is nothing to do.
    """
    thread = threading.Thread(target=made_ready, name="season", daemon=True)
    thread.start()
    return thread


def made_ready() -> bool:
    """The same, here and now; whether there was anything to compile."""
    from breadline.need.ranks import at_ranks
    from breadline.need.season_lanes import make_ready
    from breadline.need.season_tree import make_ready as make_tree_ready

    at_ranks(np.zeros(1), np.zeros(1, dtype=np.int64))
    return make_ready() and make_tree_ready()
