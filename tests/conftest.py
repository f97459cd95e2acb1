"""The same random examples in every run; `--hypothesis-profile=default` searches afresh."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.load_profile("repeatable")
