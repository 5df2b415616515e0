"""Every key that a job file can have, as tables of kinds: types, ranges, descriptions. Loaded when a job is read."""

from gearplate.job.model.job_file import JobFile

__all__ = ["JobFile"]
