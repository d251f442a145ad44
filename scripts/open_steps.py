"""Prints, scenario by scenario, which steps are checked and which are still open.

A scenario in ``tests/seasons/`` lists what it expects of each step of the job.
A step is open until its package is there; its expectations then wait.
"""

from __future__ import annotations

import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = {"need": "need", "ration": "ration", "rounds": "plan", "check_group": "trial", "verdict": "verdict"}


def step_is_there(step: str) -> bool:
    """True where the package of a step holds more than its first page."""
    modules = (ROOT / "src" / "breadline" / PACKAGE[step]).glob("*.py")
    return any(module.name != "__init__.py" for module in modules)


def main() -> int:
    """Print the table; 1 when there is no scenario at all."""
    scenarios = sorted((ROOT / "tests" / "seasons").rglob("*.toml"))
    if not scenarios:
        print("No scenario found in tests/seasons/.")
        return 1
    there = {step: step_is_there(step) for step in PACKAGE}
    waiting = 0
    for path in scenarios:
        listed = [step for step in PACKAGE if step in tomllib.loads(path.read_text(encoding="utf-8"))]
        checked = [step.replace("_", " ") for step in listed if there[step]]
        still_open = [step.replace("_", " ") for step in listed if not there[step]]
        waiting += len(still_open)
        print(f"{path.stem}: checked {', '.join(checked) or 'none'}; open {', '.join(still_open) or 'none'}")
    steps = ", ".join(step.replace("_", " ") for step, is_there in there.items() if not is_there)
    print(f"{waiting} expectations wait for steps that are not built yet ({steps or 'none'}).")
    return 0


if __name__ == "__main__":
    sys.exit(main())
