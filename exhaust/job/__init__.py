"""The job file: one TOML text that describes the whole job.

`start_job` begins one from five answers. `load_job` reads it and tells every mistake in it at once;
`save_copy` writes a working copy with another tube, `with_values` changes single values; both leave
the comments alone.
"""

from exhaust.job.description import About, Job
from exhaust.job.editing import mistakes_in, with_values
from exhaust.job.files import copy_new
from exhaust.job.reading import load_job, read_job
from exhaust.job.saving import save_copy
from exhaust.job.starting import start_job

__all__ = [
    "About",
    "Job",
    "copy_new",
    "load_job",
    "mistakes_in",
    "read_job",
    "save_copy",
    "start_job",
    "with_values",
]
