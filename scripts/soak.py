"""Runs the long proofs and prints, or keeps, what they found."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import threading
import time
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PROOFS = ROOT / "scripts" / "soak.d"
KEPT = ROOT / "docs" / "proof"
LONGEST_S = 6 * 3600
GOING = "… "  # begins a line that says how far a proof is
TESTS = "tests"
NO_TEST_COLLECTED = 5  # pytest's exit code


@dataclass(frozen=True)
class Result:
    """What one proof printed, and whether it holds."""

    name: str
    holds: bool
    said: str
    seconds: float  # [s]


def proofs() -> dict[str, list[str]]:
    """Every proof by name, as the command that runs it."""
    found = {path.stem: [sys.executable, str(path)] for path in sorted(PROOFS.glob("*.py"))}
    if any("mark.soak" in path.read_text(encoding="utf-8") for path in (ROOT / "tests").rglob("test_*.py")):
        with_server = str(ROOT / "scripts" / "with-postgresql")
        found[TESTS] = [with_server, sys.executable, "-m", "pytest", "-m", "soak", "-q", "-rA"]
    return found


def run(name: str, command: list[str], seed: int) -> Result:
    """Run one proof; it finds the seed in BREADLINE_SEED and says what it found on standard output.

    A line that begins with "…" says how far it is: it is shown, and not kept.
    """
    began, said = time.monotonic(), []
    env = {**os.environ, "BREADLINE_SEED": str(seed)}
    with subprocess.Popen(
        command, cwd=ROOT, env=env, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT, text=True,
    ) as going:  # fmt: skip
        late = threading.Timer(LONGEST_S, going.kill)
        late.start()
        assert going.stdout is not None
        for line in going.stdout:
            if line.startswith(GOING):
                after = f"{time.monotonic() - began:6.0f} s"
                print(f"{after} {name} {line.rstrip()}", file=sys.stderr, flush=True)
            else:
                said.append(line)
        late.cancel()
    took = time.monotonic() - began
    if going.returncode < 0:
        said.append(f"Ended by signal {-going.returncode} after {took:.0f} s.")
    none_there = name == TESTS and going.returncode == NO_TEST_COLLECTED
    return Result(name, going.returncode == 0 or none_there, "".join(said).strip(), took)


def commit() -> str:
    """The commit that was proved; says so where files differ from it, kept proofs apart."""
    seen = [
        subprocess.run(
            command, cwd=ROOT, capture_output=True, text=True, check=True, timeout=60
        ).stdout.strip()
        for command in (
            ["git", "rev-parse", "--short=12", "HEAD"],
            ["git", "status", "--porcelain", "--", ".", ":!docs/proof"],
        )
    ]
    return seen[0] + (" with changes that are not committed" if seen[1] else "")


def page(results: list[Result], seeds: list[int]) -> str:
    """The results of one proof, seed after seed, as they are printed and kept."""
    said = zip(seeds, results, strict=True)
    return "\n".join(
        (
            f"# Long proof: {results[0].name.replace('_', ' ')}",
            "",
            f"- Date: {datetime.now(UTC):%Y-%m-%d}",
            f"- Commit: {commit()}",
            f"- Seed: {', '.join(map(str, seeds))}",
            f"- Took: {', '.join(f'{one.seconds:.0f} s' for one in results)}",
            f"- Holds: {', '.join('yes' if one.holds else 'NO' for one in results)}",
            *(
                line
                for seed, one in said
                for line in ("", *([f"Seed {seed}:", ""] if seeds[1:] else []), "```", one.said, "```")
            ),
            "",
        )
    )


def main() -> int:
    """Run what was asked for; 1 where a proof does not hold."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("names", nargs="*", help="proofs to run; all when none is named")
    parser.add_argument("--seed", type=int, nargs="+", default=[1], help="one seed, or several in turn")
    parser.add_argument("--keep", action="store_true", help="write each result to docs/proof/")
    asked = parser.parse_args()
    known = proofs()
    unknown = [name for name in asked.names if name not in known]
    if unknown:
        parser.error(f"no proof named {', '.join(unknown)}; there are: {', '.join(known)}")
    holds = True
    for name in asked.names or known:
        results = []
        for seed in asked.seed:
            results.append(run(name, known[name], seed))
            if asked.seed[1:]:
                print(f"{name}, seed {seed}: {'holds' if results[-1].holds else 'does NOT hold'}", flush=True)
        text = page(results, asked.seed)
        print(text, flush=True)
        holds = holds and all(one.holds for one in results)
        if asked.keep:
            KEPT.mkdir(parents=True, exist_ok=True)
            (KEPT / f"{name}.md").write_text(text, encoding="utf-8")
    return 0 if holds else 1


if __name__ == "__main__":
    sys.exit(main())
