"""SI to shop units, tables, and how results show themselves.

Nothing here computes: a number on the screen exists in a result or it does not exist.
"""

from exhaust.show.numbers import KINDS as KINDS
from exhaust.show.numbers import SYSTEMS as SYSTEMS
from exhaust.show.numbers import Style as Style
from exhaust.show.numbers import System as System
from exhaust.show.numbers import checked_system as checked_system
from exhaust.show.numbers import cut_length as cut_length
from exhaust.show.numbers import listed as listed
from exhaust.show.numbers import number as number
from exhaust.show.numbers import quantity as quantity
from exhaust.show.numbers import shown_in as shown_in
from exhaust.show.numbers import spread as spread
from exhaust.show.numbers import style as style
from exhaust.show.numbers import unit_system as unit_system
from exhaust.show.numbers import use_units as use_units
from exhaust.show.result import Result as Result
from exhaust.show.result import banded as banded
from exhaust.show.result import facts_html as facts_html
from exhaust.show.result import items_html as items_html
from exhaust.show.result import result_html as result_html
from exhaust.show.table import Column as Column
from exhaust.show.table import Fact as Fact
from exhaust.show.table import Table as Table
