"""The linear model under the solver: HiGHS over the shares of a mix, kept warm between questions."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import highspy
import numpy as np

from breadline.errors import OurFault
from breadline.ration.problem import Problem
from breadline.ration.rows import FloatArray, Row
from breadline.ration.whole_bags import Whole, whole_of

STATUS = highspy.HighsModelStatus
NOTHING = (STATUS.kInfeasible, STATUS.kUnboundedOrInfeasible)
ENDED = (STATUS.kOptimal, STATUS.kTimeLimit, STATUS.kInterrupt, STATUS.kSolutionLimit, *NOTHING)


@dataclass(frozen=True)
class Progress:
    """Where a search for whole things stands: what it costs so far, and how far below the truth may lie.

    Parameters
    ----------
    seconds
        Since this search began. [s]
    cost
        The cheapest recipe so far. [money/kg of a full mixer]
    gap
        How much cheaper the cheapest could still be. [share of ``cost``]
    """

    seconds: float
    cost: float
    gap: float


Watcher = Callable[[Progress], bool]  # gives True to stop


@dataclass(frozen=True)
class Found:
    """One answer of the model.

    Parameters
    ----------
    shares
        Of a full mixer, by ingredient, shape (ingredients,); empty where there is no mix. [share]
    cost
        [money/kg of a full mixer]
    duals
        Of the target rows as scaled, shape (rows,); nought where whole things are counted.
    gap
        As in ``Progress``; 0 where proven, infinite where nothing was found in time.
    possible
        ``False`` where it is proven that no mix exists, ``None`` where time ran out first.
    """

    shares: FloatArray
    cost: float
    duals: FloatArray
    gap: float
    possible: bool | None
    seconds: float


class Quiet(highspy.Highs):
    """HiGHS without its banner, which would stand in the middle of what a command prints."""

    def __init__(self) -> None:
        super(highspy.Highs, self).__init__()  # the plain one: the class between prints as it begins
        self.setOptionValue("output_flag", False)


class Model:
    """Columns are ingredients (and whole things), rows are targets and the sum.

    Every row is divided by its largest coefficient, so that milligrams and per cent
    meet HiGHS at the same size; duals and slacks are turned back by ``scale``.
    """

    def __init__(self, problem: Problem, rows: Sequence[Row]) -> None:
        self.problem, self.rows = problem, tuple(rows)
        self.n, self.m = len(problem.ingredients), len(self.rows)
        self.whole: Whole = whole_of(problem)
        self.prices = np.array([problem.price(k) for k in problem.keys])
        self.scale = np.ones(self.m)
        self.highs = Quiet()
        self.highs.setOptionValue("time_limit", problem.making.time_limit_s)
        self.highs.setOptionValue("mip_rel_gap", 1e-6)
        self._pass()

    def _pass(self) -> None:
        """Hand the whole model over once."""
        body = np.array([row.at(row.bound) for row in self.rows]).reshape(self.m, self.n)
        if self.m:
            largest = np.abs(body).max(axis=1)
            self.scale = np.where(largest > 0.0, largest, 1.0)
        matrix = np.zeros((self.m + 1 + len(self.whole.rows), self.whole.columns))
        matrix[: self.m, : self.n] = body / self.scale[:, None] * self.whole.unit
        matrix[self.m, : self.n] = self.whole.unit
        matrix[self.m + 1 :] = self.whole.rows
        lp = highspy.HighsLp()
        lp.num_row_, lp.num_col_ = matrix.shape
        lp.col_cost_ = self._costs(self.prices)
        lp.col_lower_, lp.col_upper_ = np.zeros(self.whole.columns), self.whole.upper
        lp.row_lower_ = np.concatenate(
            [np.zeros(self.m), [self.problem.making.fill_least], self.whole.row_lower]
        )
        lp.row_upper_ = np.concatenate([np.full(self.m, highspy.kHighsInf), [1.0], self.whole.row_upper])
        self._matrix_in(lp, matrix)
        if self.whole.integer.any():
            kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
            lp.integrality_ = [kinds[int(i)] for i in self.whole.integer]
        self.highs.passModel(lp)

    @staticmethod
    def _matrix_in(lp: highspy.HighsLp, matrix: FloatArray) -> None:
        at = matrix != 0.0
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.concatenate([[0], np.cumsum(at.sum(axis=1))]).astype(np.int32)
        lp.a_matrix_.index_ = np.nonzero(at)[1].astype(np.int32)
        lp.a_matrix_.value_ = matrix[at]

    def _costs(self, prices: FloatArray) -> FloatArray:
        return np.concatenate([prices * self.whole.unit, np.zeros(self.whole.columns - self.n)])

    def cost_by(self, prices: FloatArray) -> None:
        """Take other prices, shape (ingredients,). [money/kg]"""
        costs = self._costs(prices)
        self.highs.changeColsCost(len(costs), np.arange(len(costs), dtype=np.int32), costs)

    def ease(self, row: int, bound: float) -> None:
        """Give one row another bound. [unit of the target]"""
        values = self.rows[row].at(bound) / self.scale[row] * self.whole.unit
        for column in range(self.n):
            self.highs.changeCoeff(row, column, float(values[column]))

    def drop(self, row: int) -> None:
        """Let one row be anything."""
        self.highs.changeRowBounds(row, -highspy.kHighsInf, highspy.kHighsInf)

    def hold(self, row: int) -> None:
        """Hold a dropped row to its bound again."""
        self.highs.changeRowBounds(row, 0.0, highspy.kHighsInf)

    def leave_out(self, ingredient: int, out: bool = True) -> None:
        """Keep an ingredient out of the mix, or let it back in."""
        self.highs.changeColBounds(ingredient, 0.0, 0.0 if out else float(self.whole.upper[ingredient]))

    def begin_at(self, shares: Mapping[str, float]) -> None:
        """Begin a search for whole things at a mix that may satisfy all. [share of a full mixer]"""
        solution = highspy.HighsSolution()
        solution.col_value = self.whole.columns_of(
            np.array([shares.get(k, 0.0) for k in self.problem.keys])
        ).tolist()
        self.highs.setSolution(solution)

    def solve(self, watch: Watcher | None = None) -> Found:
        """The cheapest mix as the model now stands."""
        if watch is not None and self.whole.integer.any():
            self._watched(watch)
        self.highs.run()
        status = self.highs.getModelStatus()
        if status not in ENDED:
            raise OurFault("solver", f"HiGHS ended with “{self.highs.modelStatusToString(status)}”")
        info = self.highs.getInfo()
        seconds = float(self.highs.getRunTime())
        none = np.zeros(0)
        if status in NOTHING:
            return Found(none, float("inf"), none, float("inf"), False, seconds)
        if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
            return Found(none, float("inf"), none, float("inf"), None, seconds)
        solution = self.highs.getSolution()
        counted = self.whole.integer.any()
        columns = np.array(solution.col_value)
        shares = self.whole.shares_of(columns)
        duals = np.zeros(self.m) if counted else np.array(solution.row_dual)[: self.m]
        gap = max(0.0, float(info.mip_gap)) if counted else 0.0
        return Found(shares, float(info.objective_function_value), duals, gap, True, seconds)

    def _watched(self, watch: Watcher) -> None:
        """Tell the watcher of every better recipe and of the bound as it rises."""
        kinds = highspy.cb.HighsCallbackType

        def told(kind: Any, message: str, out: Any, back: Any, mine: Any) -> None:
            cost = float(out.mip_primal_bound)
            if not abs(cost) < 1e20:
                return
            stop = watch(Progress(float(out.running_time), cost, max(0.0, float(out.mip_gap))))
            if stop and kind == kinds.kCallbackMipInterrupt:
                back.user_interrupt = True

        self.highs.setCallback(told, None)
        self.highs.startCallback(kinds.kCallbackMipImprovingSolution)
        self.highs.startCallback(kinds.kCallbackMipInterrupt)
