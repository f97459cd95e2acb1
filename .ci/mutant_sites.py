"""Where a module can be broken: the mutants of cosmic-ray, less what no test could tell."""

from __future__ import annotations

import ast
import csv
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator

DRAWINGS = ("*pose*.py", "*plan.py", "plan_legs.py")  # where a drawing puts its lines and words
NUMBERS = ("stock_plan.py",)
KNOWN = Path(__file__).resolve().parent / "mutants_alike.csv"
ARITHMETIC = ("Add_Sub", "Sub_Add", "Mul_Div", "Div_Mul", "Pow_Mul", "FloorDiv_Mul", "Mod_Mul")
ORDER = ("Lt_LtE", "LtE_Lt", "Gt_GtE", "GtE_Gt", "Lt_GtE", "LtE_Gt", "Gt_LtE", "GtE_Lt")
BOUNDARY = ("Lt_LtE", "LtE_Lt", "Gt_GtE", "GtE_Gt")
SAMENESS = ("Eq_NotEq", "NotEq_Eq", "Is_IsNot", "IsNot_Is")
OPERATORS = (
    *(f"core/ReplaceBinaryOperator_{pair}" for pair in ARITHMETIC),
    *(f"core/ReplaceComparisonOperator_{pair}" for pair in (*ORDER, *SAMENESS)),
    "core/ReplaceUnaryOperator_Delete_USub",
    "core/ReplaceUnaryOperator_Delete_Not",
    "core/ReplaceTrueWithFalse",
    "core/ReplaceFalseWithTrue",
    "core/ReplaceAndWithOr",
    "core/ReplaceOrWithAnd",
    "core/AddNot",
    "core/NumberReplacer",
    "core/ReplaceBreakWithContinue",
    "core/ReplaceContinueWithBreak",
    "core/ZeroIterationForLoop",
)


Span = tuple[tuple[int, int], tuple[int, int], str]


@dataclass(frozen=True)
class Mutant:
    """One change to one module: the occurrence of an operator, and where that is."""

    path: Path
    operator: str
    occurrence: int
    line: int
    column: int
    text: str  # of the line

    @property
    def key(self) -> tuple[str, str, str, str]:
        """What names it when lines move: file, line's text, column and change."""
        return str(self.path), self.text, self.what, str(self.column)

    @property
    def what(self) -> str:
        """The change in short."""
        name = self.operator.removeprefix("core/").removeprefix("Replace")
        if name == "NumberReplacer":
            name = "Number" + ("+1" if self.occurrence % 2 == 0 else "-1")
        return name

    @property
    def code(self) -> str:
        """The whole module with the change in it."""
        changed = mutate_code(_source(self.path), get_operator(self.operator)(), self.occurrence)
        assert changed is not None, self
        return str(changed)

    def __str__(self) -> str:
        """Return where it is and what is changed."""
        return f"{self.path}:{self.line}:{self.column} {self.what}: {self.text}"


def sites(path: Path) -> tuple[list[Mutant], Counter[str]]:
    """Return the mutants of a module, and how many were left out for which reason."""
    source = _source(path)
    lines = source.splitlines()
    left_out, limits = _left_out(source), _limits(source)
    drawn = path.name not in NUMBERS and any(path.match(name) for name in DRAWINGS)
    nodes = list(ast_nodes(get_ast(source)))
    found, skipped = [], Counter[str]()
    for name in OPERATORS:
        operator = get_operator(name)()
        places = [place for node in nodes for place in operator.mutation_positions(node)]
        for occurrence, ((line, column), end) in enumerate(places):
            why = _why(left_out, (line, column))
            if name.endswith(BOUNDARY):
                why = why or _why(limits, (line, column))
            if name == "core/AddNot" and _compares(lines[line - 1 : end[0]]):
                why = "that another mutant makes (a comparison turned round)"
            if drawn:
                why = "in drawings: where lines and words stand"
            if why:
                skipped[why] += 1
            else:
                text = lines[line - 1].strip()
                found.append(Mutant(path, name, occurrence, line, column, text))
    return found, skipped


def _compares(lines: list[str]) -> bool:
    return any(sign in line for line in lines for sign in (" < ", " > ", "<=", ">=", " not "))


@cache
def _source(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def _left_out(source: str) -> list[Span]:
    """Return the places that are not mutated, and why."""
    return [_span(node, why) for node, why in _reasons(ast.parse(source))]


def _why(spans: list[Span], place: tuple[int, int]) -> str | None:
    return next((why for start, end, why in spans if start <= place < end), None)


def _limits(source: str) -> list[Span]:
    """Return the comparisons with a constant: a computed number meets it to the last bit never."""
    return [
        _span(node, "at the limit itself (< for <=) where that is a constant of the module")
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Compare) and any(map(_constant, (node.left, *node.comparators)))
    ]


def _constant(node: ast.expr) -> bool:
    return any(isinstance(each, ast.Name) and each.id.isupper() for each in ast.walk(node))


def _reasons(tree: ast.Module) -> Iterator[tuple[ast.AST, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Raise):
            yield node, "in a sentence of refusal"
        elif isinstance(node, ast.JoinedStr):
            yield node, "in wording (f-strings)"
        elif isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            yield node, "in what only the type checker reads"
        elif isinstance(node, ast.keyword) and node.arg == "strict":
            yield node, "strict=True, the code's guard against itself"
        for field in ("annotation", "returns"):
            if isinstance(note := getattr(node, field, None), ast.AST):
                yield note, "in a type annotation"
        for decorator in getattr(node, "decorator_list", ()):
            yield decorator, "in a decorator"


def _span(node: ast.AST, why: str) -> Span:
    start = (node.lineno, node.col_offset)  # type: ignore[attr-defined]
    return start, (node.end_lineno, node.end_col_offset), why  # type: ignore[attr-defined]


def known() -> dict[tuple[str, str, str, str], str]:
    """Return the mutants that are known to change nothing, each with its reason."""
    if not KNOWN.exists():
        return {}
    with KNOWN.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {(row["file"], row["line"], row["change"], row["column"]): row["why"] for row in rows}
