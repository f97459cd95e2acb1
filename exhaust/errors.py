"""What can go wrong, in the user's words.

Every message has the same parts: the name, the rule, the value, the remedy.
"""

from __future__ import annotations

from collections.abc import Iterable


class ExhaustError(ValueError):
    """Something the user can put right; the message says what and how.

    >>> raise ExhaustError("kerf must be more than zero (got 0 mm); measure a test cut")
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: kerf must be more than zero (got 0 mm); measure a test cut
    """


class RuleError(ExhaustError):
    """A broken rule whose owner is not known yet: the message starts after the name.

    Converters raise it; whoever knows the name (a description, the job file) turns it into a
    whole sentence with `named`.
    """

    def named(self, name: str) -> ExhaustError:
        """Return the error as a sentence about `name`."""
        return ExhaustError(f"{name} {self}")


class JobError(ExhaustError):
    """Every mistake found in one job file, one to a line."""

    def __init__(self, mistakes: Iterable[str]) -> None:
        self.mistakes = tuple(mistakes)
        super().__init__("\n".join(self.mistakes))


def broken(rule: str, got: object = None, remedy: str = "") -> RuleError:
    """Return the error for one broken rule: "rule (got value); remedy".

    >>> broken("must be more than zero", "0 mm", "measure a test cut").named("kerf")
    ExhaustError('kerf must be more than zero (got 0 mm); measure a test cut')
    """
    text = rule
    if got is not None:
        text += f" (got {got})"
    if remedy:
        text += f"; {remedy}"
    return RuleError(text)


def typed(value: object) -> str:
    """Return what the user typed, short enough for a message.

    >>> typed("3 in"), typed(None), typed([1, 2]), typed(object())
    ("'3 in'", 'nothing', '[1, 2]', 'something of type object')
    """
    if value is None:
        return "nothing"
    if isinstance(value, (str, bytes, bool, int, float, list, tuple)):
        text = repr(value)
        if "object at 0x" not in text:
            return text if len(text) <= 60 else text[:57] + "…"
    return f"something of type {type(value).__name__}"


def nearest(word: str, known: Iterable[str], count: int = 2) -> str:
    """Return the names in `known` most like `word`, as text for a message.

    >>> nearest("340", ["304", "304L", "409"])
    'nearest: "304", "304L"'
    >>> nearest("xyz", ["inch", "metric"])
    'known: "inch", "metric"'
    """
    names = list(known)
    far = {name: _slips(word.lower(), name.lower()) for name in names}
    close = [name for name in names if far[name] <= min(3, max(len(word), len(name)) / 2)]
    if close:
        best = sorted(close, key=lambda name: far[name])[:count]
        return "nearest: " + ", ".join(f'"{name}"' for name in best)
    listed = ", ".join(f'"{name}"' for name in names[:12])
    return f"known: {listed}" + (", …" if len(names) > 12 else "")


def _slips(typed: str, meant: str) -> int:
    """Return the letters dropped, added, changed or swapped (optimal string alignment)."""
    above2: list[int] = []
    above = list(range(len(meant) + 1))
    for i, a in enumerate(typed, start=1):
        row = [i]
        for j, b in enumerate(meant, start=1):
            best = min(above[j] + 1, row[j - 1] + 1, above[j - 1] + (a != b))
            if i > 1 and j > 1 and a == meant[j - 2] and typed[i - 2] == b:
                best = min(best, above2[j - 2] + 1)
            row.append(best)
        above2, above = above, row
    return above[-1]
