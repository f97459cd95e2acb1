"""Room under the car: envelopes by hand, remedies rebuilt and measured, refusals in words."""

import re

import pytest

from exhaust import Bend, HPipe, ParallelToSplayedX, ParallelX, SplayedX, Tube, YMerge
from exhaust.choices.room import KINDS, Room, joints_that_fit
from exhaust.errors import ExhaustError

INCH = 0.0254
TUBE = Tube(od="3 in", wall="16 ga")
BEND = Bend(TUBE, clr="4.5 in")
X = ParallelX(BEND, cutback=0.28, spacing="10.5 in")
JOINTS = [
    X,
    SplayedX(TUBE, included_angle="45 deg", cutback=1 / 3, leg_length="12 in"),
    ParallelToSplayedX(
        BEND, cutback=0.28, included_angle="45 deg", leg_length="10 in", spacing="10.5 in"
    ),
    YMerge(BEND, spacing="8 in"),
    HPipe(TUBE, spacing="12 in"),
]


def room(width="40 in", height="10 in", length="60 in", **more):
    return Room(width=width, height=height, length=length, **more)


def test_all_five_fit_a_large_room():
    answer = joints_that_fit(room(), JOINTS)
    assert all(one.fits for one in answer.fits)
    assert [one.kind for one in answer.fits] == list(KINDS.values())
    assert answer.reason.startswith("Parallel X, splayed X")
    assert answer.reason.endswith("fit.")


def test_width_by_hand():
    """10.5 in of centres and one od of 3 in, with 25 mm of clearance on both sides."""
    needed = 13.5 * INCH + 2 * 0.025
    for slack, fits in ((1e-6, True), (-1e-6, False)):
        answer = joints_that_fit(room(width=f"{needed + slack} m"), X)
        assert answer.fits[0].fits is fits
    over = joints_that_fit(room(width="13.5 in", clearance="10 mm"), X).fits[0].over
    assert over.width == pytest.approx(0.020, abs=1e-12)
    assert over.height < 0


def test_height_is_the_tube():
    needed = 3 * INCH + 2 * 0.025
    assert joints_that_fit(room(height=f"{needed + 1e-6} m"), X).fits[0].fits
    assert not joints_that_fit(room(height=f"{needed - 1e-6} m"), X).fits[0].fits


@pytest.mark.parametrize("joint", JOINTS, ids=lambda one: KINDS[type(one)])
def test_a_remedy_fits_and_a_hair_more_does_not(joint):
    """Each spacing named is rebuilt here: it takes the free width to a tenth of a millimetre."""
    tight = room(width=f"{joint.envelope.width - 0.02 + 0.05} m")
    fit = joints_that_fit(tight, joint).fits[0]
    assert not fit.fits
    assert fit.remedies
    if not isinstance(joint, (ParallelX, YMerge, HPipe)):
        return
    value = float(re.search(r"spacing ([\d.]+) in", fit.remedies[0])[1])
    rebuilt = joint.with_(spacing=f"{value} in")
    assert rebuilt.envelope.width == pytest.approx(tight.free.width, abs=1e-4)


def test_what_no_change_mends_is_said():
    said = joints_that_fit(room(width="4 in", length="3 in"), X).reason
    assert said.startswith("None fits.")
    assert said.endswith("no change of one dimension would make it fit.")


def test_a_trimmed_joint_says_so():
    x = ParallelX(BEND, cutback=0.28)
    narrow = room(width=f"{x.least_spacing + 3 * INCH + 0.055} m")
    assert "bends trimmed" in joints_that_fit(narrow, x).reason


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: room(width="1 in"), "width must be more than twice the clearance"),
        (lambda: Room(width=3, height="1 in", length="1 in"), "width must be a length with a unit"),
        (lambda: joints_that_fit("room", X), "room must be a Room (got text 'room')"),
        (lambda: joints_that_fit(room(), []), "joints is empty; give at least one joint"),
        (lambda: joints_that_fit(room(), "X"), "joints must be a list of joints"),
        (lambda: joints_that_fit(room(), [TUBE]), "joints must be a list of joints (got one Tube)"),
    ],
)
def test_bad_input_is_refused_in_words(make, words):
    with pytest.raises(ExhaustError) as caught:
        make()
    assert str(caught.value).startswith(words)
