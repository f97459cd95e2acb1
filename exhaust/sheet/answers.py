"""Every question of the job sheet, each asked once, when a page first needs it."""

from __future__ import annotations

from functools import cached_property

from exhaust.choices import MergeComparison, TubeComparison, compare_merges, compare_tubes
from exhaust.cutmath import CutSheet, cut_sheet
from exhaust.engine import ExhaustFlow, exhaust_flow
from exhaust.job import Job
from exhaust.joints import ParallelX
from exhaust.joints.numbers import JointNumbers
from exhaust.show import Result


class Answers:
    """The results of one job, computed when first asked for and then kept."""

    def __init__(self, job: Job) -> None:
        self.job = job

    @cached_property
    def flow(self) -> ExhaustFlow:
        """What the engine breathes out."""
        return exhaust_flow(self.job.engine, self.job.duty, self.job.ambient)

    @cached_property
    def tubes(self) -> TubeComparison:
        """Which tube for the runs."""
        job = self.job
        return compare_tubes(job.system, job.engine, job.duty, job.ambient, job.tubes, job.limits)

    @cached_property
    def merges(self) -> MergeComparison | None:
        """Which outlet after a merge, if the shelf names any."""
        job = self.job
        if not job.outlets:
            return None
        return compare_merges(
            job.system, job.engine, job.duty, job.ambient, job.outlets, job.limits
        )

    @cached_property
    def joint(self) -> JointNumbers | None:
        """What the joint measures, if the job has one."""
        joint = self.job.system.joint
        return joint.numbers if isinstance(joint, ParallelX) else None

    @cached_property
    def cut(self) -> CutSheet | None:
        """What to saw, if the job has a joint."""
        joint, saw = self.job.system.joint, self.job.saw
        return None if joint is None or saw is None else cut_sheet(joint, saw)

    def results(self) -> dict[str, Result]:
        """Return every result by name."""
        found: dict[str, Result | None] = {
            "gas_flow": self.flow,
            "tubes": self.tubes,
            "merges": self.merges,
            "joint": self.joint,
            "cut_sheet": self.cut,
        }
        return {name: result for name, result in found.items() if result is not None}
