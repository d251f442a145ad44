"""``python -m seasons`` (in ``tests/``) lists the scenarios and which steps are still open."""

from __future__ import annotations

from seasons.scenario import scenarios
from seasons.steps import STEPS

for scenario in scenarios():
    marks = [f"{e.step}{'' if e.step in STEPS else ' (open)'}" for e in scenario.expectations]
    print(f"{scenario.name}: {scenario.title}\n    {', '.join(marks)}")
