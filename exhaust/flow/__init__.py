"""Steady flow: friction, local losses, junctions, the compressible pipe."""
