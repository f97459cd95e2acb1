"""From a joint's shape to saw settings and check measurements."""
