"""Back pressure over cutbacks. Invariants: the deeper an X is sliced, the narrower its way through
and the more it pushes back; at the job's own cutback it is the job's own back pressure.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from exhaust import exhaust_flow, flow_through, load_job
from exhaust.choices.cutbacks import over_cutbacks
from exhaust.joints import ParallelX


def test_a_deeper_slice_pushes_back_more() -> None:
    job = load_job("v8-parallel-x.toml")
    found = over_cutbacks(job.system, exhaust_flow(job.engine, job.duty, job.ambient))
    assert len(found) == 25
    for less, more in pairwise(found):
        assert more.cutback == pytest.approx(less.cutback + 0.01)
        assert more.joint.narrowest_area < less.joint.narrowest_area
        assert more.back_pressure > less.back_pressure
    own = next(one for one in found if one.joint == job.system.joint)
    through = flow_through(job.system, job.engine, job.duty, job.ambient)
    assert own.back_pressure == pytest.approx(through.back_pressure.middle, rel=1e-9)


def test_cutbacks_that_the_bend_does_not_give_are_left_out() -> None:
    """Exact: a slice thinner than the wall, 0.065 of 3 in, opens nothing."""
    job = load_job("v8-parallel-x.toml")
    assert isinstance(job.system.joint, ParallelX)
    shallow = job.system.with_(joint=job.system.joint.with_(cutback=0.04))
    found = over_cutbacks(shallow, exhaust_flow(job.engine, job.duty, job.ambient))
    assert found[0].cutback == pytest.approx(0.03)  # 0.01 and 0.02 are under 0.065 / 3
    assert len(found) == 14


def test_a_joint_that_is_not_sliced_has_none() -> None:
    job = load_job("v6-h-pipe.toml")
    assert over_cutbacks(job.system, exhaust_flow(job.engine, job.duty, job.ambient)) == ()
