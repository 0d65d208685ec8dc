"""Every number of the core is plain arithmetic or a `Fact` that says where it comes from.

Plain arithmetic is what stays true whatever dog, yarn or maker comes: 0, 1 and 2 (nothing,
one, a half or a double, and every other row), and a power (the cube root of a weight, the
square root in a middle). All else stands inside a call that makes a `Fact`.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import sizing
from sizing.breeds import BREEDS, Breed
from sizing.evidence import Fact, Grade

ROOT = Path(sizing.__file__).parent
PLAIN = {0, 1, 2}
ROWS = {"row", "fci", "mixed"}
"""What the modules of breed rows call; a row carries its citation itself."""


def modules() -> list[Path]:
    return sorted(ROOT.rglob("*.py"))


def numeric(node: ast.AST) -> bool:
    """Whether a node is a number written out, also as text, but none of the plain ones."""
    if not isinstance(node, ast.Constant) or isinstance(node.value, bool):
        return False
    if isinstance(node.value, str):
        try:
            return float(node.value) not in PLAIN
        except ValueError:
            return False
    return isinstance(node.value, int | float | complex) and node.value not in PLAIN


def called(node: ast.AST) -> str:
    return ast.unparse(node.func) if isinstance(node, ast.Call) else ""


def makers(tree: ast.Module) -> set[str]:
    """The functions of a module whose answer is nothing but Facts."""
    found = {"Fact"}
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node.returns:
            names = {part.id for part in ast.walk(node.returns) if isinstance(part, ast.Name)}
            if "Fact" in names and names <= {"Fact", "tuple"}:
                found.add(node.name)
    return found


def excused(node: ast.AST, facts: set[str]) -> list[ast.AST]:
    """The parts of a node in which a number need not explain itself."""
    if called(node) in facts:
        return list(ast.iter_child_nodes(node))
    if isinstance(node, ast.GeneratorExp | ast.ListComp) and called(node.elt) in facts:
        return list(ast.iter_child_nodes(node))
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow):
        return [node.right]
    if isinstance(node, ast.ClassDef) and "IntEnum" in {ast.unparse(b) for b in node.bases}:
        return list(node.body)  # numbers that are names: the classes of a standard
    return []


def bare_numbers(source: str, also: set[str] | None = None) -> list[tuple[int, str]]:
    """The line and text of each number that is neither plain nor inside a Fact."""
    tree = ast.parse(source)
    facts = makers(tree) | (also or set())

    def walk(node: ast.AST) -> Iterator[tuple[int, str]]:
        if numeric(node):
            assert isinstance(node, ast.Constant)
            yield node.lineno, repr(node.value)
        free = excused(node, facts)
        for child in ast.iter_child_nodes(node):
            if child not in free:
                yield from walk(child)

    return list(walk(tree))


def holds_rows(path: Path) -> bool:
    return path.parent.name == "breeds" and "BREEDS: Final[tuple[Breed, ...]] = (\n" in (
        path.read_text(encoding="utf-8")
    )


@pytest.mark.parametrize("path", modules(), ids=lambda path: path.relative_to(ROOT).as_posix())
def test_no_number_stands_bare_in_the_core(path: Path) -> None:
    also = ROWS if holds_rows(path) else None

    assert bare_numbers(path.read_text(encoding="utf-8"), also) == []


@pytest.mark.parametrize("breed", BREEDS, ids=lambda breed: breed.name)
def test_each_breed_says_where_its_figures_come_from(breed: Breed) -> None:
    head_and_neck = (
        breed.head_girth_cm, breed.head_length_cm, breed.neck_girth_cm, breed.neck_length_cm,
        breed.head_length_of_height, breed.neck_of_head_length,
    )  # fmt: skip

    assert any(letter.isalpha() for letter in breed.cite)
    assert bool(breed.facts_cite) == any(head_and_neck)


def facts() -> list[Fact]:
    """Every Fact that a module of the core holds under a name, in tables too."""
    found: list[Fact] = []

    def gather(value: object) -> None:
        if isinstance(value, Fact):
            found.append(value)
        elif isinstance(value, dict):
            for part in value.values():
                gather(part)
        elif isinstance(value, tuple):
            for part in value:
                gather(part)

    for path in modules():
        name = ".".join(("sizing", *path.relative_to(ROOT).with_suffix("").parts))
        module = __import__(name.removesuffix(".__init__"), fromlist=["_"])
        for value in vars(module).values():
            gather(value)
    return found


def test_every_fact_has_a_unit_and_says_what_it_rests_on() -> None:
    assert len(facts()) > 100
    for fact in facts():
        assert fact.unit, fact
        if fact.origin.grade in {Grade.PUBLISHED, Grade.DERIVED}:
            assert fact.origin.text, fact


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("EASE = 0.2", [(1, "0.2")]),
        ("def f(girth):\n    return girth * 0.9 + 5", [(2, "0.9"), (2, "5")]),
        ("def f(girth: float = 355.6) -> float:\n    return girth", [(1, "355.6")]),
        ("WEIGHTS = {'pug': 8}", [(1, "8")]),
        ("PRICE = Decimal('4.50')", [(1, "'4.50'")]),
        ("X = Fact(3, 'rows', practice()).value * 7", [(1, "7")]),
        ("def band() -> Reduction:\n    return 9\nX = band(4)", [(2, "9"), (3, "4")]),
        ("X = 20 ** 3", [(1, "20")]),
    ],
)
def test_a_bare_number_is_found(source: str, found: list[tuple[int, str]]) -> None:
    assert bare_numbers(source) == found


@pytest.mark.parametrize(
    "source",
    [
        "EASE = Fact(3 / 14, 'share', practice())",
        "def half(mm):\n    return mm / 2 - 1",
        "SIZE = weight ** (1 / 3)",
        "T = tuple(Fact(n, 'parts', ORIGIN) for n in (4, 8, 16))",
        "def _band(low: float) -> tuple[Fact, Fact]:\n    ...\nX = _band(11.5)",
        "class C(IntEnum):\n    LIGHT = 3",
        "TEXT = 'row 3 of 40'\nON = True",
    ],
)
def test_plain_arithmetic_and_facts_pass(source: str) -> None:
    assert bare_numbers(source) == []
