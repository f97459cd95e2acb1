"""Break the geometry on purpose and see whether the tests notice.

    python .ci/mutants.py                        # 17 minutes of geometry, 17 of cutmath
    python .ci/mutants.py exhaust/geometry/elbow.py --minutes 0
    python .ci/mutants.py exhaust/cutmath --minutes 60 --seed 7

The mutants are those of cosmic-ray: one operator, number or condition changed at a time. Each is
loaded in the place of its module in a process of its own, which runs the tests that pass through
the changed line, the quickest first, and then every other test of the files that test the module.
Tests of solid models are left out: they are slow, and the others must notice by themselves.
The order is random, so that what was tried when time is up is a fair sample of all.
Nothing on disk is changed. DEVELOPERS.md says what is not mutated and why.
"""

from __future__ import annotations

import argparse
import math
import os
import random
import sys
import time
from collections import Counter
from importlib.metadata import version
from pathlib import Path

from mutant_sites import Mutant, known, sites
from mutant_tests import Suite, trial

ROOT = Path(__file__).resolve().parent.parent
PATHS = ("exhaust/geometry", "exhaust/cutmath")
MINUTES = 17  # for each of them; with the first run of the tests and the last mutants, 40 in all
WANTED = 0.90


def main() -> int:
    """Run the mutants asked for, say how many were caught, and list the rest."""
    asked = _asked()
    os.chdir(ROOT)
    sys.path.insert(0, str(ROOT))
    print(f"cosmic-ray {version('cosmic-ray')}, seed {asked.seed}")
    print("which test passes through which line ...", flush=True)
    suite = Suite.traced({*PATHS, *asked.paths})
    print(f"{suite.count} tests in {suite.seconds:.0f} s\n", flush=True)
    ended = [_report(path, asked, suite) for path in asked.paths]
    return 0 if all(ended) else 1


def _asked() -> argparse.Namespace:
    words = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    words.add_argument("paths", nargs="*", default=PATHS, help="packages or files")
    words.add_argument("--minutes", type=float, default=MINUTES, help="for each path, 0: all of it")
    words.add_argument("--seed", type=int, default=1, help="of the order in which they are tried")
    words.add_argument("--workers", type=int, default=2)
    return words.parse_args()


def _report(path: str, asked: argparse.Namespace, suite: Suite) -> bool:
    """Try the mutants of one path; return whether enough were caught."""
    found, skipped = _counted(path)
    random.Random(asked.seed).shuffle(found)
    reasons, survivors, ends = known(), [], Counter[str]()
    start = time.monotonic()
    end = start + asked.minutes * 60 if asked.minutes else math.inf
    for mutant, result in trial(found, suite, asked.workers, end):
        ends[result] += 1
        if result != "caught":
            print(
                f"  {mutant}\n      {result}; {reasons.get(mutant.key, 'no reason given')}",
                flush=True,
            )
        if result == "survived":
            survivors.append(mutant)
    minutes = (time.monotonic() - start) / 60
    words = ", ".join(f"{count} {result}" for result, count in ends.most_common())
    print(f"{path}: {ends.total()} tried in {minutes:.0f} min: {words}")
    share = _told(survivors, reasons, ends.total(), len(found))
    for reason, count in skipped.most_common():
        print(f"  left out: {count} {reason}")
    print(flush=True)
    return share > WANTED


def _told(
    survivors: list[Mutant], reasons: dict[tuple[str, str, str, str], str], tried: int, found: int
) -> float:
    """Print and return the share that was noticed; print it of those that change anything, too."""
    share = 1 - len(survivors) / tried
    print(f"  {share:.1%} noticed" + _error(share, tried, found))
    alike = sum(mutant.key in reasons for mutant in survivors)
    if alike:
        changing = 1 - (len(survivors) - alike) / (tried - alike)
        print(
            f"  {alike} survivors are known to change nothing; of the rest {changing:.1%} noticed"
        )
    return share


def _counted(path: str) -> tuple[list[Mutant], Counter[str]]:
    """Return every mutant of a package or a file, and how many were left out for which reason."""
    found, skipped = [], Counter[str]()
    for file in sorted(Path(path).rglob("*.py")) if Path(path).is_dir() else [Path(path)]:
        mutants, left_out = sites(file)
        found += mutants
        skipped += left_out
    print(f"{path}: {len(found)} mutants counted; those that survive:", flush=True)
    return found, skipped


def _error(share: float, tried: int, found: int) -> str:
    """Return the sampling error in words, two standard errors without replacement."""
    if tried == found:
        return ", of all there are"
    spread = math.sqrt(share * (1 - share) / tried * (found - tried) / (found - 1))
    return f" ± {2 * spread:.1%} (two standard errors of a sample of {found})"


if __name__ == "__main__":
    sys.exit(main())
