"""``python -m seasons`` (in ``tests/``) lists the scenarios and which steps are still open."""

from __future__ import annotations

from seasons.scenario import scenarios
from seasons.steps import exists

for scenario in scenarios():
    marks = [f"{e.step}{'' if exists(scenario, e.step) else ' (open)'}" for e in scenario.expectations]
    print(f"{scenario.name}: {scenario.title}\n    {', '.join(marks)}")
