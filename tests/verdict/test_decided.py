"""The rule by which the long proofs decide: no limit is moved, and a share near one takes more trials."""

from __future__ import annotations

import numpy as np
import pytest

from tests.verdict.decided import Limit, rounds, wrongly_foretold


def test_a_share_beyond_its_limit_fails_however_little() -> None:
    assert not Limit(0.0601, 0.06, False, "too often").kept
    assert Limit(0.06, 0.06, False, "too often").kept
    assert not Limit(0.8799, 0.88, True, "too seldom").kept


def test_rounds_go_on_until_a_share_is_three_standard_errors_from_its_limit() -> None:
    # sd of one trial at 0.5 is 0.5, by hand: 0.01 away is 3 standard errors of more than 22,500 trials
    def at(share: float, most: int) -> int:
        return len(rounds(lambda n: n, lambda _: [Limit(share, 0.49, True, "")], 10_000, most))

    assert at(0.5, 9) == 3
    assert at(0.49, 4) == 4  # never clear: as many as may be
    assert at(0.6, 9) == 1


def test_a_class_is_told_from_its_forecast_by_fishers_test() -> None:
    """Fisher's own lady and her tea: 3 right of 4 and 1 of 4, both sides 34 of 70."""
    assert wrongly_foretold(3, 4, 1, 4) == pytest.approx(34 / 70)
    rng = np.random.default_rng(4)
    seen = [wrongly_foretold(rng.binomial(500, 0.2), 500, rng.binomial(1000, 0.2), 1000) for _ in range(400)]
    assert np.mean(np.array(seen) < 0.05) < 0.08  # by chance alone at most 0.05, and three errors of 0.011
