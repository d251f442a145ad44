"""Quantiles of Student's t at many degrees of freedom at once, as intervals of many trials need them."""

from __future__ import annotations

from functools import cache

import numpy as np
from scipy.special import stdtrit

from breadline.span import FloatArray

TERMS = 16  # of a Chebyshev series in 1 over df, from LEAST up: they leave 1e-12 of the quantile
LEAST = 2.0  # degrees of freedom; fewer, and trials so few, are gone through one by one
FEW = 100


def t_quantiles(share: float, df: FloatArray) -> FloatArray:
    """Quantile of t that a ``share`` lies below [-], for degrees of freedom from 1 up, shape (trials,) [-].

    Between the least and the most of them the quantile is smooth in 1 over the degrees of freedom, so a
    series through a few of its values gives all others to rounding.
    """
    few = df < LEAST
    per = 1.0 / np.maximum(df, LEAST)
    low, wide = float(per.min()), float(np.ptp(per))
    if df.size < FEW:
        return np.asarray(stdtrit(df, share), dtype=np.float64)
    if wide <= 1e-12:
        found = np.full(df.shape, float(stdtrit(1.0 / low, share)))
    else:
        at, of_values = _through()
        series = of_values @ stdtrit(1.0 / (low + wide * (at + 1.0) / 2.0), share)
        found = _summed(series, (2.0 / wide) * (per - low) - 1.0)
    if few.any():
        found[few] = stdtrit(df[few], share)
    return found


@cache
def _through() -> tuple[FloatArray, FloatArray]:
    """Places from −1 to 1, and what makes the weights of a Chebyshev series of the values there. [-]"""
    turn = np.pi * (np.arange(TERMS) + 0.5) / TERMS
    of_values = 2.0 / TERMS * np.cos(np.outer(np.arange(TERMS), turn))
    of_values[0] /= 2.0
    return np.cos(turn), of_values


def _summed(series: FloatArray, at: FloatArray) -> FloatArray:
    """The series at each place, by Clenshaw's recurrence. [-]"""
    twice, last, later, room = 2.0 * at, np.zeros_like(at), np.zeros_like(at), np.empty_like(at)
    for term in series[:0:-1].tolist():
        np.multiply(twice, later, out=room)
        room -= last
        room += term
        last, later, room = later, room, last
    total: FloatArray = at * later - last + series[0]
    return total
