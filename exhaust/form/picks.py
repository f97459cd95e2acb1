"""Tube and joint picked by slider, from answers that were all worked out beforehand."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import ipywidgets as widgets

from exhaust.choices import TubeComparison, compare_tubes, joints_that_fit
from exhaust.choices.choosing import percent_band
from exhaust.choices.crossover_systems import Crossover, usual_crossovers, with_crossover
from exhaust.choices.cutbacks import CutbackInFlow, over_cutbacks
from exhaust.choices.room import KINDS, RoomFit
from exhaust.engine import exhaust_flow
from exhaust.errors import ExhaustError
from exhaust.form.filling import JobForm
from exhaust.form.live import Live, words_html
from exhaust.form.rows import BOX
from exhaust.job import Job
from exhaust.job.saving import with_system, with_tube
from exhaust.joints import HPipe, Joint
from exhaust.plots.picking import Sliding, cutback_slider, tube_slider
from exhaust.show import quantity, shown_in
from exhaust.show.result import result_html
from exhaust.stock import alike


class TubePick:
    """A slider along the tubes on the shelf; the figure and the words follow it at once."""

    def __init__(self, form: JobForm) -> None:
        self.form = form
        self.reason, self.words, self.refused = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.slider = _slider("tube")
        self.figure = _figure()
        self.take = widgets.Button(description="Build it in this tube")
        self.take.layout.width = BOX
        self.slider.observe(lambda change: self._move(), "index")
        self.take.on_click(lambda button: self._take())
        live = Live(
            form,
            lambda job: (job.system, job.engine, job.duty, job.ambient, job.tubes, job.limits),
            self._fill,
        )
        line = widgets.HBox([self.slider, self.take])
        live.body.children = [self.reason, line, self.figure, self.words, self.refused]
        self.widget = live.start()

    def _fill(self, job: Job) -> None:
        self.answer = compare_tubes(
            job.system, job.engine, job.duty, job.ambient, job.tubes, job.limits
        )
        self.reason.value = words_html([self.answer.reason])
        self.sliding: Sliding = tube_slider(self.answer)
        tubes = [one.tube for one in self.answer.options]
        names = [one.name for one in tubes]
        at = tubes.index(job.system.tube) if job.system.tube in tubes else 0
        _set(self.slider, names, at)
        self._move()

    def _move(self) -> None:
        job = self.form.job
        if job is None or self.slider.index is None:
            return
        with shown_in(job.units):
            self.figure.value = self.sliding.at(self.slider.index)
            self.words.value = words_html([_tube_words(self.answer, self.slider.index)])
        self.refused.value = ""

    def _take(self) -> None:
        job = self.form.job
        if job is not None:
            tube = self.answer.options[self.slider.index].tube
            _try(lambda: self.form.rewrite(with_tube(job, tube)), self.refused)


def _tube_words(answer: TubeComparison, index: int) -> str:
    one = answer.options[index]
    back, speed = quantity(one.back_pressure, "pressure"), quantity(one.velocity, "velocity")
    said = (
        f"{one.tube.name}: {back} of back pressure where the pipe starts, "
        f"{percent_band(one.power_cost)} of power, gas at {speed}."
    )
    if one.choked:
        return f"{said} The gas chokes."
    if not one.fits:
        return f"{said} It is over a limit of the job."
    if one.tube == answer.best:
        return f"{said} Costs least of those that fit."
    return f"{said} Against the best that fits: {one.verdict.word}."


class JointPick:
    """Joints for the job's place and whether they fit; a slider for the cutback of a sliced one."""

    def __init__(self, form: JobForm) -> None:
        self.form = form
        self.room, self.words, self.refused = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.which = widgets.Dropdown(layout=widgets.Layout(width="420px"))
        self.slider = _slider("cutback")
        self.figure = _figure()
        self.take = widgets.Button(description="Build this joint")
        self.take.layout.width = BOX
        self._filling = False
        self.which.observe(lambda change: self._other(), "value")
        self.slider.observe(lambda change: self._move(), "index")
        self.take.on_click(lambda button: self._take())
        live = Live(
            form,
            lambda job: (job.system, job.engine, job.duty, job.ambient, job.room),
            self._fill,
        )
        line = widgets.HBox([self.which, self.take])
        live.body.children = [line, self.room, self.slider, self.figure, self.words, self.refused]
        self.widget = live.start()

    def _fill(self, job: Job) -> None:
        own = job.system.joint
        if own is None:
            raise ExhaustError("the job has no joint; describe it in [joint] of the job file")
        flow = exhaust_flow(job.engine, job.duty, job.ambient)
        self.sliced: Sequence[CutbackInFlow] = over_cutbacks(job.system, flow)
        self.offered: list[Joint] = _offered(job)
        fits = None if job.room is None else joints_that_fit(job.room, self.offered)
        names = [_joint_name(one, number, fits) for number, one in enumerate(self.offered)]
        self._filling = True
        if self.sliced:
            self.sliding = cutback_slider(self.sliced)
            at = [one.joint for one in self.sliced].index(own)
            _set(self.slider, [f"{one.cutback:.3g}" for one in self.sliced], at)
        self.which.options = [(name, number) for number, name in enumerate(names)]
        self.which.value = 0
        self._filling = False
        self._other()

    @property
    def joint(self) -> Joint:
        """The joint that is picked now."""
        if self._slides:
            number: int = self.slider.index
            return self.sliced[number].joint
        chosen: int = self.which.value or 0
        return self.offered[chosen]

    @property
    def _slides(self) -> bool:
        return bool(self.sliced) and not self.which.value

    def _other(self) -> None:
        shown = "" if self._slides else "none"
        self.slider.layout.display = self.figure.layout.display = shown
        self._move()

    def _move(self) -> None:
        job = self.form.job
        if job is None or self._filling:
            return
        with shown_in(job.units):
            if self._slides:
                self.figure.value = self.sliding.at(self.slider.index)
            self.room.value = words_html([_room_words(job, self.joint)])
            self.words.value = result_html(self.joint.numbers, job.units)
        self.refused.value = ""

    def _take(self) -> None:
        job = self.form.job
        if job is not None and self.joint != job.system.joint:
            system = job.system
            built = (
                system.with_(joint=self.joint)
                if type(self.joint) is type(system.joint)
                else with_crossover(system, Crossover(self.joint))
            )
            _try(lambda: self.form.rewrite(with_system(job, built)), self.refused)


def _offered(job: Job) -> list[Joint]:
    """Return the job's own joint, then the H pipes that could stand in its place."""
    own = job.system.joint
    assert own is not None
    if (own.legs_in, own.legs_out) != (2, 2):
        return [own]
    others = [one.joint for one in usual_crossovers(job.system) if not one.behind]
    hs = [one for one in others if isinstance(one, HPipe)]
    if not isinstance(own, HPipe):
        return [own, *hs]
    balance = [one.balance_tube for one in hs if not alike(one.balance_tube, own.balance_tube)]
    return [own, *(own.with_(balance_tube=tube) for tube in balance)]


def _room_words(job: Job, joint: Joint) -> str:
    """Return whether a joint fits the room of the job, and what would make it fit."""
    if job.room is None:
        return "The job does not say how much room there is; put it in the form to see what fits."
    return joints_that_fit(job.room, joint).reason


def _joint_name(joint: Joint, number: int, fits: RoomFit | None) -> str:
    name = Crossover(joint).name
    if number == 0:
        name = f"{KINDS.get(type(joint), name)} of the job"
    if fits is None:
        return name
    return f"{name}: {'fits' if fits.fits[number].fits else 'too large for the room'}"


def _figure() -> widgets.Image:
    return widgets.Image(format="png", layout=widgets.Layout(max_width="100%", width="836px"))


def _slider(name: str) -> widgets.SelectionSlider:
    return widgets.SelectionSlider(
        options=["–"],
        description=name,
        continuous_update=True,
        layout=widgets.Layout(width="560px"),
    )


def _set(slider: widgets.SelectionSlider, names: Sequence[str], at: int) -> None:
    """Give a slider its places and stand it at one of them."""
    slider.options = names
    slider.index = at


def _try(task: Callable[[], None], said: widgets.HTML) -> None:
    """Run a task; what it refuses is said in words."""
    try:
        task()
    except ExhaustError as error:
        said.value = words_html(str(error).splitlines())


def tube_pick(form: JobForm) -> widgets.VBox:
    """Return a slider along the tubes on the shelf, with what each costs, for the job of `form`."""
    return TubePick(form).widget


def joint_pick(form: JobForm) -> widgets.VBox:
    """Return the joints for the job of `form`, whether they fit, and a slider for the cutback."""
    return JointPick(form).widget
