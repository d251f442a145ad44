"""Mixed models fitted by statsmodels give the same likelihood, effects and unadjusted errors."""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from statsmodels.regression.mixed_linear_model import MixedLM, VCSpec

from breadline.verdict.reml import reml

from .invented_trials import Trial, trial


def theirs(t: Trial):
    """statsmodels' fit, one variance for each grouping in a single block; None without convergence."""
    names = list(t.groups)
    z = [(g[:, None] == np.unique(g)).astype(float) for g in t.groups.values()]
    spec = VCSpec(
        names, [[[str(v) for v in np.unique(t.groups[name])]] for name in names], [[one] for one in z]
    )
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fit = MixedLM(t.outcome, t.fixed, np.zeros(len(t.outcome)), exog_vc=spec).fit(reml=True)
    return fit if fit.converged else None


def plain_errors(fit):
    """Errors of the effects without their observed cross term with the variances, none in expectation."""
    curvature = fit.model.hessian(fit.params_object)[0]
    p = len(fit.fe_params)
    return np.sqrt(np.diag(np.linalg.inv(-curvature[:p, :p])))


def test_statsmodels_agrees_on_two_hundred_trials():
    both = 0
    for seed in range(200):
        t = trial(1000 + seed, ("yards", "yards and arms", "yards and graders")[seed % 3], spread=(0.7, 1.5))
        ours, other = reml(t.outcome, t.fixed, t.groups), theirs(t)
        if other is None:
            continue
        assert ours.criterion <= -2.0 * other.llf + 1e-6
        if ours.at_boundary or ours.criterion < -2.0 * other.llf - 1e-4:
            continue  # at a boundary, or where it stopped early, there is nothing to compare with
        both += 1
        assert ours.effects == pytest.approx(other.fe_params, abs=1e-4)
        assert np.sqrt(np.diag(ours.covariance)) == pytest.approx(plain_errors(other), rel=1e-3)
        assert [ours.variances[n] for n in t.groups] == pytest.approx(other.vcomp, rel=1e-2)
        assert ours.variances["residual"] == pytest.approx(other.scale, rel=1e-3)
    assert both >= 150
