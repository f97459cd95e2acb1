"""How long `import exhaust` takes, beside Python's own start and a heavy library for scale."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

RUNS = 15
AIM = 0.25  # seconds


def seconds(statement: str) -> float:
    """Return the median time of a fresh interpreter that runs `statement` [s]."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", statement], check=True)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


if __name__ == "__main__":
    bare = seconds("pass")
    ours = seconds("import exhaust")
    first = seconds("from exhaust import Tube; Tube(od='3 in', wall='16 ga')")
    numpy = seconds("import numpy")
    print(f"python alone            {bare:.3f} s")
    print(f"import exhaust          {ours - bare:.3f} s more (aim {AIM} s)")
    print(f"first tube from text    {first - bare:.3f} s more")
    print(f"import numpy, for scale {numpy - bare:.3f} s more")
    print(f"ratio to numpy          {(ours - bare) / (numpy - bare):.2f}")
