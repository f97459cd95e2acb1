"""The command line: `exhaust check`, `exhaust sheet`, `exhaust new`.

Answers go to standard output; mistakes go to standard error, one clear sentence each, with exit
status 2.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from exhaust import __version__
from exhaust.errors import ExhaustError

if TYPE_CHECKING:
    from exhaust.sheet.content import Chapter

MISTAKE, INTERRUPTED = 2, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal that cannot show "²" shows "?"
    options = parser().parse_args(arguments)
    try:
        options.run(options)
        sys.stdout.flush()
    except ExhaustError as error:
        return _refused(str(error))
    except KeyboardInterrupt:
        print("stopped; nothing half-written was left", file=sys.stderr)
        return INTERRUPTED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        return _refused(f"{where}{error.strerror or error}; check the disk and the folder")
    return 0


def parser() -> argparse.ArgumentParser:
    """Return the parser of the command line."""
    top = argparse.ArgumentParser(
        prog="exhaust",
        description="Size an exhaust, weigh its merge and set the saw, from one job file.",
        epilog="Start with:  exhaust new --demo my-jobs",
    )
    top.add_argument("--version", action="version", version=f"exhaust {__version__}")
    commands = top.add_subparsers(title="commands", metavar="COMMAND", required=True)

    check = _command(commands, "check", "say whether a job file is sound, or list every mistake")
    check.epilog = "For example:  exhaust check my-jobs/v8-parallel-x.toml"
    check.add_argument("job", metavar="JOB.toml", type=Path, help="the job file")
    check.set_defaults(run=_check)

    sheet = _command(commands, "sheet", "answer a job and write its sheet to a folder")
    sheet.epilog = "For example:  exhaust sheet my-jobs/v8-parallel-x.toml --out v8-sheet"
    sheet.add_argument("job", metavar="JOB.toml", type=Path, help="the job file")
    sheet.add_argument(
        *("-o", "--out"),
        metavar="DIR",
        type=Path,
        required=True,
        help="folder for the sheet; made if need be, and only the sheet's own files are replaced",
    )
    sheet.add_argument(
        "--paper",
        choices=("A4", "Letter"),
        help="paper to print on; without it Letter for a job in inches, A4 for a metric one",
    )
    sheet.set_defaults(run=_sheet)

    new = _command(commands, "new", "put demo jobs, notebooks and lessons in a folder of your own")
    new.epilog = "For example:  exhaust new --demo my-jobs"
    new.add_argument(
        "--demo",
        metavar="DIR",
        type=Path,
        required=True,
        help="folder to copy to; made if need be, and nothing in it is overwritten",
    )
    new.set_defaults(run=_new)
    return top


def _command(
    commands: argparse._SubParsersAction[argparse.ArgumentParser], name: str, does: str
) -> argparse.ArgumentParser:
    return commands.add_parser(name, help=does, description=f"{does[:1].upper()}{does[1:]}.")


def _check(options: argparse.Namespace) -> None:
    from exhaust.job import load_job

    job = load_job(options.job)
    print(f"{job.path} is sound: {job.name}")


def _sheet(options: argparse.Namespace) -> None:
    from exhaust.job import load_job
    from exhaust.sheet import save_sheet
    from exhaust.sheet.answers import Answers
    from exhaust.sheet.content import headlines, warnings

    answers = Answers(load_job(options.job))
    written = save_sheet(answers, options.out, each=_watched, paper=options.paper)
    print(f"Written to {options.out}: {', '.join(path.name for path in written)}")
    for fact in headlines(answers):
        note = f" ({fact.note})" if fact.note else ""
        print(f"{fact.name}: {fact.text(answers.job.units)}{note}")
    for line in warnings(answers):
        print(f"Mind: {line}")


def _watched(chapters: Sequence[Chapter]) -> Iterator[Chapter]:
    """Go over the chapters with progress on standard error."""
    if not sys.stderr.isatty():
        print(f"making {len(chapters)} pages", file=sys.stderr)
        yield from chapters
        return
    from tqdm import tqdm

    with tqdm(chapters, unit="page", leave=False) as bar:
        for chapter in bar:
            bar.set_description(chapter.name)
            yield chapter


def _new(options: argparse.Namespace) -> None:
    from exhaust.job import copy_new

    made = copy_new(demo_files(), options.demo)
    places = (path.relative_to(options.demo).as_posix() for path in made)
    print(f"Copied to {options.demo}: {', '.join(places)}")
    jobs = [path for path in made if path.suffix == ".toml"]
    print(f"Next:  exhaust sheet {jobs[0]} --out {options.demo / 'sheet'}")


def demo_files() -> dict[str, Path]:
    """Return the demo jobs, notebooks and lessons that came with the package, by their place."""
    from exhaust.tables import shipped

    jobs, books = shipped("data") / "jobs", shipped("notebooks")
    found = {path.name: path for path in sorted(jobs.glob("*.toml"))}
    kept = (
        path for path in sorted(books.rglob("*.ipynb")) if ".ipynb_checkpoints" not in path.parts
    )
    return found | {path.relative_to(books).as_posix(): path for path in kept}


def _refused(message: str) -> int:
    print(message, file=sys.stderr)
    return MISTAKE


if __name__ == "__main__":
    sys.exit(main())
