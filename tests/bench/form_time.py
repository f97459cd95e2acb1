"""How long the form takes to open, to take in an entry, and to follow a slider, on each demo job.

What a move takes here is all that the kernel does; the browser then shows one picture.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

from exhaust.form import job_form, saw_settings
from exhaust.form.picks import JointPick, TubePick
from exhaust.tables import shipped

AIM = 0.3  # seconds from a move of the slider to the figure


def seconds(task: Callable[[], object]) -> float:
    """Return how long a task takes [s]."""
    start = time.perf_counter()
    task()
    return time.perf_counter() - start


def moves(pick: TubePick | JointPick) -> list[float]:
    """Return how long each move along the slider takes, there and back [s]."""
    places = len(pick.slider.options)
    there = [*range(places), *reversed(range(places - 1))]
    return [seconds(lambda place=place: setattr(pick.slider, "index", place)) for place in there]


if __name__ == "__main__":
    for demo in sorted((shipped("data") / "jobs").glob("*.toml")):
        opened = seconds(lambda demo=demo: job_form(demo.name))
        form = job_form(demo.name)
        box = form.rows["duty.speed"].box
        entered = seconds(lambda box=box: setattr(box, "value", "5000"))
        made = {"tubes": TubePick, "joints": JointPick, "saw": saw_settings}
        built = {
            name: seconds(lambda maker=maker, form=form: maker(form))
            for name, maker in made.items()
        }
        print(f"{demo.stem}: opened {opened:.2f} s, an entry taken in {entered:.2f} s")
        print("  worked out: " + ", ".join(f"{name} {one:.2f} s" for name, one in built.items()))
        for name, pick in (("tube", TubePick(form)), ("cutback", JointPick(form))):
            if name == "tube" or getattr(pick, "sliced", ()):
                times = moves(pick)
                middle, most = statistics.median(times), max(times)
                print(f"  {name} slider: {middle:.3f} s a move, at most {most:.3f} s (aim {AIM} s)")
