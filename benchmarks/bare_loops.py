"""Loops that do one kind of operation and nothing else, in numbers that stay in the nearest cache."""

from __future__ import annotations

import math

from numba import njit

DEEP = 8  # operations on a number between reading and writing it


@njit(error_model="numpy")
def _add(x, times):  # type: ignore[no-untyped-def]
    for _ in range(times):
        for i in range(x.shape[0]):
            y = x[i]
            x[i] = y + 1.1 + y + 1.2 + y - 3.1 - y - 1.3 - y + 2.1


@njit(error_model="numpy")
def _multiply(x, times):  # type: ignore[no-untyped-def]
    for _ in range(times):
        for i in range(x.shape[0]):
            x[i] = x[i] * 1.1 * 0.9 * 1.25 * 0.8 * 1.3 * 0.77 * 1.2 * 0.83


@njit(error_model="numpy")
def _divide(x, times):  # type: ignore[no-untyped-def]
    for _ in range(times):
        for i in range(x.shape[0]):
            y = x[i]
            x[i] = 1.5 / (1.4 / (1.3 / (1.2 / (1.1 / (1.6 / (1.7 / (1.8 / y)))))))


@njit(error_model="numpy")
def _smaller(x, times):  # type: ignore[no-untyped-def]
    for _ in range(times):
        for i in range(x.shape[0]):
            y = x[i]
            a = min(y * 1.5, max(y, 1.2))
            x[i] = max(min(max(min(max(min(a, 1.9), 1.1), y), 1.3), 0.2), y)


@njit(error_model="numpy")
def _root(x, times):  # type: ignore[no-untyped-def]
    for _ in range(times):
        for i in range(x.shape[0]):
            y = math.sqrt(math.sqrt(math.sqrt(math.sqrt(x[i]))))
            x[i] = math.sqrt(math.sqrt(math.sqrt(math.sqrt(y))))


LOOPS = {"add": _add, "multiply": _multiply, "divide": _divide, "smaller": _smaller, "root": _root}
