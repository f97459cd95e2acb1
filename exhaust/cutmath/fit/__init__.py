"""What a real saw's error does to the fit."""

from exhaust.cutmath.fit.question import fit_up as fit_up
from exhaust.cutmath.fit.result import FitUp as FitUp
from exhaust.cutmath.fit.tolerances import Tolerances as Tolerances
