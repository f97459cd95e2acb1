"""The job file: one TOML text that describes the whole job.

`start_job` begins one from five answers. `load_job` reads it and tells every mistake in it at once;
`save_copy` writes it again with another tube, `with_values` changes single values, `keep_choice`
writes a working copy for the next notebook; all leave the comments alone.
"""

from exhaust.job.description import About, Job
from exhaust.job.editing import mistakes_in, with_values
from exhaust.job.files import copy_new
from exhaust.job.reading import load_job, read_job
from exhaust.job.saving import save_copy
from exhaust.job.starting import start_job
from exhaust.job.working import Kept, keep_choice

__all__ = [
    "About",
    "Job",
    "Kept",
    "copy_new",
    "keep_choice",
    "load_job",
    "mistakes_in",
    "read_job",
    "save_copy",
    "start_job",
    "with_values",
]
