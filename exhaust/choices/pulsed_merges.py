"""Same size or stepped, where the engine breathes in pulses: merges over a range of speeds."""

from __future__ import annotations

from typing import NamedTuple

import attrs

from exhaust.bands import Verdict
from exhaust.choices.merges import MergeComparison
from exhaust.choices.pulsed_words import pulsed_assumptions, pulsed_reason
from exhaust.choices.pulses import Pulses
from exhaust.show import Column, Fact, Result, Table, quantity
from exhaust.stock import Tube
from exhaust.system import System


class Parted(NamedTuple):
    """Where a gain comes from: the `joint` itself, or the `pipe` that follows it."""

    joint: Verdict
    pipe: Verdict


@attrs.frozen(kw_only=True)
class PulsedMerge:
    """One outlet against the same size; gains are shares of power, more is better."""

    outlet: Tube
    gain: Verdict  # mean over the speeds; its middle by momentum where streams meet
    parted: Parted | None  # None where the joint cannot be stepped up behind it
    by_speed: tuple[float, ...]  # the gain at each speed
    other_by_speed: tuple[float, ...]  # by one pressure where streams meet
    steady: float  # the gain in steady flow, mean over the same speeds
    fits: bool  # the limits of the steady comparison

    @property
    def other_model(self) -> float:
        """The gain by one pressure where streams meet, mean over the speeds."""
        return sum(self.other_by_speed) / len(self.other_by_speed)


@attrs.frozen(kw_only=True, repr=False)
class PulsedMergeComparison(Result):
    """Outlets small to large, the same size first, as pulses fill and empty them.

    `steady` is the answer in steady flow that it goes on from; of so many `simulations`, the
    cycle of the `unsettled` did not repeat.
    `best` saves most of those that fit; `choice` is the smallest that is not worse than it by a
    difference worth having. `not_stepped` says why no joint could be told from its pipe, if so.
    """

    steady: MergeComparison
    pulses: Pulses
    speeds: tuple[float, ...]  # [rad/s]
    options: tuple[PulsedMerge, ...]
    best: Tube
    choice: Tube
    against_best: Verdict  # of the choice
    not_stepped: str | None
    simulations: int
    unsettled: int

    title = "Same size or stepped, in pulses"

    @property
    def chosen(self) -> PulsedMerge:
        """The option of the chosen outlet."""
        return next(one for one in self.options if one.outlet == self.choice)

    @property
    def built(self) -> System:
        """What the system becomes with the chosen outlet."""
        outlets = [one.outlet for one in self.steady.options]
        return self.steady.systems[outlets.index(self.choice)]

    @property
    def weighed(self) -> PulsedMerge:
        """The option that is held against the same size: the chosen, or the larger that saves most.

        The same size itself if nothing else fits.
        """
        chosen, (same, *larger) = self.chosen, self.options
        fitting = [one for one in larger if one.fits]
        if chosen is not same or not fitting:
            return chosen
        return max(fitting, key=lambda one: one.gain.difference.middle)

    @property
    def reason(self) -> str:  # type: ignore[override]
        """Same size or stepped, in two sentences that a customer can read."""
        return " ".join(pulsed_reason(self))

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What was assumed, the gas temperature first."""
        return (*self.steady.flow.assumptions, *pulsed_assumptions(self))

    def facts(self) -> list[Fact]:
        """Return the headline lines."""
        one, name = self.weighed, self.weighed.outlet.name
        low, high = (quantity(self.speeds[n], "speed") for n in (0, -1))
        against = f"of power against the same size, mean of {low} to {high}"
        found = [
            Fact("buy", self.choice.name, note="outlet of the merge"),
            Fact(f"{name} saves", one.gain.difference.middle, "percent", against),
            Fact(f"{name} saves, low", one.gain.difference.low, "percent"),
            Fact(f"{name} saves, high", one.gain.difference.high, "percent"),
        ]
        if one.parted is not None:
            joint, pipe = one.parted
            found += [
                Fact("of that, the joint", joint.difference.middle, "percent", joint.word),
                Fact("of that, the pipe after it", pipe.difference.middle, "percent", pipe.word),
            ]
        return [
            *found,
            Fact("by one pressure where streams meet", one.other_model, "percent"),
            Fact("in steady flow", one.steady, "percent", "at the same speeds"),
            Fact("steady flow at the duty buys", self.steady.choice.name),
        ]

    def rows(self) -> Table:
        """Return the outlets small to large, the chosen one marked."""
        columns = (
            Column("outlet", "outlet"),
            Column("gain", "saves", "percent"),
            Column("gain_low", "low", "percent"),
            Column("gain_high", "high", "percent"),
            Column("joint_gain", "the joint", "percent"),
            Column("pipe_gain", "the pipe after it", "percent"),
            Column("least_gain", "at the worst speed", "percent"),
            Column("most_gain", "at the best speed", "percent"),
            Column("one_pressure_gain", "by one pressure", "percent"),
            Column("steady_gain", "in steady flow", "percent"),
            Column("verdict", "against the same size"),
        )
        return Table(
            columns,
            tuple(self._row(one) for one in self.options),
            marked=self.options.index(self.chosen),
        )

    def _row(self, one: PulsedMerge) -> tuple[float | str, ...]:
        gain = one.gain.difference
        parts = ["–", "–"] if one.parted is None else [v.difference.middle for v in one.parted]
        word = one.gain.word if one.fits else "does not fit"
        return (
            one.outlet.name,
            *(gain.middle, gain.low, gain.high),
            *parts,
            *(min(one.by_speed), max(one.by_speed)),
            one.other_model,
            one.steady,
            "same size" if one is self.options[0] else word,
        )
