"""The job sheet: one content list, rendered."""
