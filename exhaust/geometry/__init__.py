"""Exact shapes of cut tube, in plain floats."""
