"""The command line: `exhaust new`, `exhaust check`, `exhaust sheet`, `exhaust notebooks`.

Answers go to standard output; mistakes go to standard error, one clear sentence each, with exit
status 2.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from exhaust import __version__
from exhaust.asked import QUESTIONS, Question
from exhaust.errors import ExhaustError
from exhaust.show import listed

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

    _new_command(_command(commands, "new", "start a job file from five answers, or copy the demo"))

    notebooks = _command(
        commands, "notebooks", "put the notebooks in a folder of your own and open them"
    )
    notebooks.epilog = "For example:  exhaust notebooks my-jobs"
    notebooks.add_argument(
        "folder",
        metavar="DIR",
        type=Path,
        help="the folder; made if need be, and what is in it stays",
    )
    notebooks.add_argument(
        "options", metavar="-- OPTION", nargs="*", help="what follows -- is for JupyterLab"
    )
    notebooks.set_defaults(run=_notebooks)
    return top


def _new_command(new: argparse.ArgumentParser) -> None:
    new.epilog = "For example:  exhaust new my-job.toml    or  exhaust new --demo my-jobs"
    what = new.add_mutually_exclusive_group(required=True)
    what.add_argument(
        "job",
        metavar="JOB.toml",
        type=Path,
        nargs="?",
        help="the job file to write; what no option says is asked",
    )
    what.add_argument(
        "--demo",
        metavar="DIR",
        type=Path,
        help="copy demo jobs, notebooks and lessons to this folder; nothing is overwritten",
    )
    for one in QUESTIONS:
        new.add_argument(
            f"--{one.name}", metavar="ANSWER", help=f'{one.words}, for example "{one.example}"'
        )
    new.set_defaults(run=_new)


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
    if options.demo is None:
        _start(options)
        return
    said = [f"--{one.name}" for one in QUESTIONS if getattr(options, one.name)]
    if said:
        raise ExhaustError(f"--demo takes no answers (got {listed(said)}); name a JOB.toml instead")
    from exhaust.job import copy_new

    made = copy_new(demo_files(), options.demo)
    places = (path.relative_to(options.demo).as_posix() for path in made)
    print(f"Copied to {options.demo}: {', '.join(places)}")
    jobs = [path for path in made if path.suffix == ".toml"]
    print(f"Next:  exhaust sheet {jobs[0]} --out {options.demo / 'sheet'}")


def _start(options: argparse.Namespace) -> None:
    """Write a job file from the answers in `options`, and ask for those that are not there."""
    from exhaust.job import start_job

    answers = {one.name: getattr(options, one.name) or _asked(one) for one in QUESTIONS}
    path = start_job(options.job, answers)
    print(f"Written to {path}; every number in it that you did not say is a usual one.")
    print(f"Next:  exhaust sheet {path} --out {path.with_suffix('')}-sheet")


def _asked(question: Question) -> str:
    """Ask until the answer can be read; without anybody to ask, refuse by name."""
    from exhaust.job.starting import answer_mistakes

    while True:
        try:
            answer = input(f"{question.words} (for example {question.example}): ")
        except EOFError:
            remedy = f'for example --{question.name} "{question.example}"'
            raise ExhaustError(f"{question.name} is missing; {remedy}") from None
        wrong = answer_mistakes(question, answer)
        if not wrong:
            return answer
        print("\n".join(wrong), file=sys.stderr)


def _notebooks(options: argparse.Namespace) -> None:
    from exhaust.job import copy_new

    there = options.folder
    missing = {
        place: path for place, path in demo_files().items() if not os.path.lexists(there / place)
    }
    made = copy_new(missing, there)
    print(f"{there}: {len(made)} copied, {len(demo_files()) - len(made)} there already")
    line = [sys.executable, "-m", "jupyterlab", str(there), *options.options]
    if subprocess.run(line, check=False).returncode:
        raise ExhaustError("JupyterLab could not be opened; what it says stands above")


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
