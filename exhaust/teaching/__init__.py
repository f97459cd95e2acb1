"""Exercises for apprentices: asked in words, worked out by the package, answered kindly."""

from exhaust.teaching.checking import Checked as Checked
from exhaust.teaching.checking import check as check
from exhaust.teaching.exercise import demo_job as demo_job
from exhaust.teaching.exercise import demo_x as demo_x
from exhaust.teaching.lessons import LESSONS as LESSONS
from exhaust.teaching.lessons import exercise as exercise
