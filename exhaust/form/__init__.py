"""The form of a job and what follows from it, for a notebook: everything by click and slider."""

from exhaust.form.filling import JobForm, job_form
from exhaust.form.live import gas_flow, saw_settings
from exhaust.form.picks import joint_pick, tube_pick

__all__ = ["JobForm", "gas_flow", "job_form", "joint_pick", "saw_settings", "tube_pick"]
