"""Breadline in a notebook: ``import breadline``, with data frames in and out.

What is handed in is a path, the tables of a file as a mapping, or a data frame of any library; what comes
back has its ``sentence``, the whole ``document`` that the command prints with ``--json``, and tables that
``pandas.DataFrame`` or another library takes as they are. No library of data frames is needed.
"""

from breadline.jobs.verdict import Prices, Told
from breadline.notebook.comparisons import (
    CheckGroupSize,
    Evidence,
    Pooled,
    Verdict,
    check_group_size,
    evidence,
    figures,
    pooled,
    verdict_of,
)
from breadline.notebook.feeds import Analysis, Compared, Solved, analyse, compare, solve
from breadline.notebook.seasons import Rounds, Season, rounds, season, weather_of
from breadline.notebook.table import Table

__all__ = [
    "Analysis",
    "CheckGroupSize",
    "Compared",
    "Evidence",
    "Pooled",
    "Prices",
    "Rounds",
    "Season",
    "Solved",
    "Table",
    "Told",
    "Verdict",
    "analyse",
    "check_group_size",
    "compare",
    "evidence",
    "figures",
    "pooled",
    "rounds",
    "season",
    "solve",
    "verdict_of",
    "weather_of",
]
