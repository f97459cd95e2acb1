"""One pass over the sections of a parsed job file; gathers mistakes and goes on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from exhaust.job.keys import Key, build, keys_of, read_table

Made = TypeVar("Made")


class Reader:
    """The sections `given`, and every mistake found in them so far.

    >>> from exhaust.stock import Tube
    >>> reader = Reader({"tube": {"od": "3 in"}})
    >>> reader.described("tube", Tube)
    >>> reader.mistakes
    ['tube.wall is missing; for example wall = "3 in"']
    """

    def __init__(self, given: dict[str, Any]) -> None:
        self.given = given
        self.mistakes: list[str] = []

    def values(self, name: str, keys: Sequence[Key]) -> dict[str, Any] | None:
        """Return the values of the section [name] by argument, or None if any is wrong."""
        if name not in self.given:
            needed = ", ".join(key.name for key in keys if key.required)
            self.mistakes.append(f"{name} is missing; add a section [{name}] with {needed}")
            return None
        given = self.given[name]
        if isinstance(given, list):
            self.mistakes.append(f"{name} must be one section; write [{name}], not [[{name}]]")
            return None
        return read_table(name, given, keys, self.mistakes)

    def described(
        self, name: str, maker: Callable[..., Made], *, optional: bool = False
    ) -> Made | None:
        """Return the description in the section [name]; `maker` of nothing if it may be left out.

        None if anything in it is wrong.
        """
        if optional and name not in self.given:
            return maker()
        values = self.values(name, keys_of(maker))  # type: ignore[arg-type]
        return build(name, maker, values, self.mistakes)

    def each(self, name: str, make: Callable[[str, object], Made | None]) -> list[Made] | None:
        """Return what `make` gives for every section [[name]], none if there is none.

        `make` takes the place in the file and what stands there. None if any is wrong.
        """
        given = self.given.get(name, [])
        if not isinstance(given, list):
            self.mistakes.append(f"{name} must be written [[{name}]], once for each {name}")
            return None
        made = [make(f"{name} {n}", one) for n, one in enumerate(given, start=1)]
        sound = [one for one in made if one is not None]
        return sound if len(sound) == len(made) else None

    def all_described(self, name: str, maker: Callable[..., Made]) -> list[Made] | None:
        """Return the descriptions in every section [[name]], or None if any is wrong."""
        keys = keys_of(maker)  # type: ignore[arg-type]

        def make(place: str, given: object) -> Made | None:
            return build(place, maker, read_table(place, given, keys, self.mistakes), self.mistakes)

        return self.each(name, make)
