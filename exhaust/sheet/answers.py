"""Every question of the job sheet, each asked once, when a page first needs it."""

from __future__ import annotations

from functools import cached_property
from typing import cast

from exhaust.choices import (
    FlowThrough,
    MeasuredComparison,
    MergeComparison,
    PortPressures,
    RoomFit,
    SpeedComparison,
    TubeComparison,
    compare_measured,
    compare_merges,
    compare_speeds,
    compare_tubes,
    flow_through,
    joints_that_fit,
    port_pressures,
)
from exhaust.cutmath import CutSheet, cut_sheet
from exhaust.cutmath.as_measured import as_measured
from exhaust.cutmath.as_measured_result import AsMeasured
from exhaust.cutmath.fit import FitUp, fit_up
from exhaust.cutmath.ordinates import BENT, Ordinates, ordinates
from exhaust.cutmath.stock_plan import planned
from exhaust.cutmath.stock_result import StockPlan
from exhaust.engine import ExhaustFlow, exhaust_flow
from exhaust.job import Job
from exhaust.joints.h_pipe_numbers import HPipeNumbers
from exhaust.joints.numbers import JointNumbers
from exhaust.joints.parallel_to_splayed_numbers import ParallelToSplayedNumbers
from exhaust.joints.splayed_numbers import SplayedNumbers
from exhaust.joints.y_merge_numbers import YMergeNumbers
from exhaust.show import Result

Numbers = JointNumbers | SplayedNumbers | ParallelToSplayedNumbers | YMergeNumbers | HPipeNumbers


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
    def through(self) -> FlowThrough:
        """What flows through the system as written, place by place."""
        job = self.job
        return flow_through(job.system, job.engine, job.duty, job.ambient)

    @cached_property
    def speeds(self) -> SpeedComparison:
        """Back pressure over engine speeds, in every tube on the shelf."""
        job = self.job
        return compare_speeds(job.system, job.engine, job.duty, job.ambient, job.tubes)

    @cached_property
    def port(self) -> PortPressures:
        """What a gauge at the test port is expected to read."""
        job = self.job
        return port_pressures(job.system, job.engine, job.duty, job.ambient)

    @cached_property
    def after_build(self) -> MeasuredComparison | None:
        """What a gauge read there once the exhaust was built, over the prediction, if it was."""
        job = self.job
        if job.after_build is None:
            return None
        return compare_measured(job.system, job.engine, job.duty, job.after_build, job.ambient)

    @cached_property
    def room(self) -> RoomFit | None:
        """Whether the joint fits the room, if the job says how much there is."""
        job = self.job
        if job.room is None or job.system.joint is None:
            return None
        return joints_that_fit(job.room, job.system.joint)

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
    def measured(self) -> AsMeasured | None:
        """What the readings make of the joint, if the job has any."""
        joint, saw, readings = self.job.system.joint, self.job.saw, self.job.measured
        if readings is None or saw is None or joint is None:
            return None
        return as_measured(joint, saw, readings)

    @cached_property
    def joint(self) -> Numbers | None:
        """What the joint measures, if the job has one."""
        joint = self.job.system.joint if self.measured is None else self.measured.joint
        return None if joint is None else cast(Numbers, joint.numbers)

    @cached_property
    def written(self) -> CutSheet | None:
        """The cut sheet of the joint as the job has it, if it has one: what stock is bought for."""
        joint, saw = self.job.system.joint, self.job.saw
        return None if joint is None or saw is None else cut_sheet(joint, saw)

    @cached_property
    def cut(self) -> CutSheet | None:
        """What to saw, if the job has a joint; what is left to saw, if any of it was measured."""
        return self.written if self.measured is None else self.measured.sheet

    @cached_property
    def plan(self) -> StockPlan | None:
        """What to buy and what to saw from it, if the job has a saw."""
        job = self.job
        if job.saw is None:
            return None
        return planned(job.system, job.saw, self.written, job.stock, job.gas)

    @cached_property
    def marks(self) -> Ordinates | None:
        """Marks for the cut on a bend, if the joint is sawn and has one."""
        joint = None if self.cut is None else self.cut.joint
        return ordinates(joint) if isinstance(joint, BENT) else None

    @cached_property
    def fit(self) -> FitUp | None:
        """What the saw's errors do to the joint of the cut sheet, if there is one."""
        cut = self.cut
        return None if cut is None else fit_up(cut.joint, cut.saw, self.job.tolerances)

    def results(self) -> dict[str, Result]:
        """Return every result by name."""
        found: dict[str, Result | None] = {
            "gas_flow": self.flow,
            "system": self.through,
            "tubes": self.tubes,
            "speeds": self.speeds,
            "test_port": self.port,
            "after_build": self.after_build,
            "room": self.room,
            "merges": self.merges,
            "as_measured": self.measured,
            "joint": self.joint,
            "cut_sheet": self.cut,
            "marks": self.marks,
            "stock_plan": self.plan,
            "fit_up": self.fit,
        }
        return {name: result for name, result in found.items() if result is not None}
