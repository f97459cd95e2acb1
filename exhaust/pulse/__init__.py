"""Unsteady flow: waves in the pipes of a whole exhaust, from valve to tail pipe."""
