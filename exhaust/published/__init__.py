"""Ours beside published: values of books, tables and other codes, and what we compute for them.

The values lie in data/published, one file a source; what computes ours lies here, one module a
subject, each with a table `OURS` from what a row says to a function of its inputs.
"""

from exhaust.published.answer import Checks as Checks
from exhaust.published.answer import PublishedChecks as PublishedChecks
from exhaust.published.answer import published_checks as published_checks
from exhaust.published.checks import Check as Check
from exhaust.published.checks import check as check
from exhaust.published.values import Value as Value
from exhaust.published.values import sources as sources
from exhaust.published.values import values as values
