"""What the runner of the long proofs shows, keeps, and says of a proof that broke off."""

from __future__ import annotations

import sys

from scripts import soak

HALF_WAY = "print('… 1 of 2 pages', flush=True); print('found nothing')"


def test_how_far_a_proof_is_is_shown_and_not_kept(capfd):
    result = soak.run("pages", [sys.executable, "-c", HALF_WAY], seed=3)
    assert result.said == "found nothing"
    assert result.holds
    assert "pages … 1 of 2 pages" in capfd.readouterr().err


def test_a_proof_that_is_stopped_does_not_hold_and_says_so(monkeypatch):
    monkeypatch.setattr(soak, "LONGEST_S", 0.3)
    result = soak.run("pages", [sys.executable, "-c", "import time; time.sleep(60)"], seed=3)
    assert not result.holds
    assert result.said.startswith("Ended by signal 9")


def test_a_proof_finds_its_seed_and_what_it_says_of_a_fault_is_kept():
    ask = "import os, sys; print('seed', os.environ['BREADLINE_SEED']); sys.exit('broke')"
    result = soak.run("pages", [sys.executable, "-c", ask], seed=3)
    assert not result.holds
    assert result.said.splitlines() == ["seed 3", "broke"]
