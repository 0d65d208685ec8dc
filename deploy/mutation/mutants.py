"""Small changes to a module's logic, each of which a test ought to notice.

Texts, annotations, decorators and the arguments of a `Fact` are left alone: a Fact's value is a
judgement with its origin beside it, which no test can know better.
"""

import ast
import copy
import random
from collections.abc import Iterator
from dataclasses import dataclass

from deploy.mutation.changes import changes

Block = int
"""The number of a list of statements inside a function, or the one below."""
OUTSIDE: Block = -1


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change: where it stands, in which block of statements, and what it does."""

    line: int
    column: int
    function: str
    block: Block
    what: str
    site: tuple[int, ...]
    made: ast.expr | ast.stmt

    def applied(self, tree: ast.Module) -> ast.Module:
        """Return a copy of the module's tree with the change in it."""
        whole = copy.deepcopy(tree)
        parent: ast.AST = whole
        for step in self.site[:-1]:
            parent = list(ast.iter_child_nodes(parent))[step]
        old = list(ast.iter_child_nodes(parent))[self.site[-1]]
        for name, value in ast.iter_fields(parent):
            if value is old:
                setattr(parent, name, self.made)
            elif isinstance(value, list) and any(part is old for part in value):
                setattr(parent, name, [self.made if part is old else part for part in value])
        return ast.fix_missing_locations(whole)


def blocks(tree: ast.Module) -> dict[int, Block]:
    """Number each list of statements in a function, by the id of every statement in it."""
    numbers: dict[int, Block] = {}
    count = 0
    for function in ast.walk(tree):
        if not isinstance(function, ast.FunctionDef):
            continue
        for node in ast.walk(function):
            for _, value in ast.iter_fields(node):
                if not _statements(value) or id(value[0]) in numbers:
                    continue
                numbers.update({id(statement): count for statement in value})
                count += 1
    return numbers


def _statements(value: object) -> bool:
    return isinstance(value, list) and bool(value) and isinstance(value[0], ast.stmt)


def instrumented(tree: ast.Module, call: str) -> ast.Module:
    """Return the module with a call of that name, given the block's number, before each block."""
    numbers = blocks(tree)
    for node in list(ast.walk(tree)):
        for name, value in ast.iter_fields(node):
            if _statements(value) and id(value[0]) in numbers:
                first = 1 if _is_docstring(value[0]) else 0
                said = ast.parse(f"{call}({numbers[id(value[0])]})").body
                setattr(node, name, [*value[:first], *said, *value[first:]])
    return ast.fix_missing_locations(tree)


def _is_docstring(node: ast.AST) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def makers(tree: ast.Module) -> set[str]:
    """Return the functions of a module whose answer is nothing but Facts, and Fact itself."""
    found = {"Fact", "TypeVar", "slot"}
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node.returns:
            names = {part.id for part in ast.walk(node.returns) if isinstance(part, ast.Name)}
            if "Fact" in names and names <= {"Fact", "tuple"}:
                found.add(node.name)
    return found


def mutants(source: str) -> Iterator[Mutant]:
    """Yield every change to a module's logic, in the order of its lines."""
    tree = ast.parse(source)
    facts, numbers = makers(tree), blocks(tree)

    def walk(
        node: ast.AST, site: tuple[int, ...], inside: str, block: Block, returned: str
    ) -> Iterator[Mutant]:
        if _left_alone(node, facts):
            return
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            inside = f"{inside}.{node.name}".lstrip(".")
        if isinstance(node, ast.FunctionDef):
            returned = ast.unparse(node.returns) if node.returns else ""
        block = numbers.get(id(node), block)
        if "cache" in inside_decorators(node):
            numbers.update(dict.fromkeys(map(id, ast.walk(node)), OUTSIDE))
        for made, what in changes(node, returned):
            assert isinstance(node, ast.expr | ast.stmt)  # noqa: S101 - only these are changed
            yield Mutant(node.lineno, node.col_offset, inside, block, what, site, made)
        kept = {id(part) for part in _unmeant(node)}
        for place, child in enumerate(ast.iter_child_nodes(node)):
            if id(child) not in kept:
                yield from walk(child, (*site, place), inside, block, returned)

    for place, node in enumerate(tree.body):
        yield from walk(node, (place,), "", OUTSIDE, "")


def inside_decorators(node: ast.AST) -> str:
    """Return what decorates a function: a cached one runs for the first caller only."""
    found = node.decorator_list if isinstance(node, ast.FunctionDef) else []
    return " ".join(ast.unparse(part) for part in found)


def _left_alone(node: ast.AST, facts: set[str]) -> bool:
    if isinstance(node, ast.Call):
        return isinstance(node.func, ast.Name) and node.func.id in facts
    if isinstance(node, ast.FunctionDef):
        return node.name in facts
    return isinstance(node, ast.Import | ast.ImportFrom | ast.JoinedStr) or _is_docstring(node)


def _unmeant(node: ast.AST) -> list[ast.AST]:
    """The parts of a node that are not logic: annotations and decorators."""
    if isinstance(node, ast.FunctionDef):
        kept: list[ast.AST] = [*node.decorator_list]
        return [*kept, node.returns] if node.returns else kept
    if isinstance(node, ast.ClassDef):
        return [*node.decorator_list, *node.keywords, *node.bases]
    if isinstance(node, ast.arg):
        return list(ast.iter_child_nodes(node))
    return [node.annotation] if isinstance(node, ast.AnnAssign) else []


def sample(found: list[Mutant], count: int, seed: str) -> list[Mutant]:
    """Return that many mutants or all, drawn over a module's functions in turn."""
    dice = random.Random(seed)  # noqa: S311 - no secret
    by_function: dict[str, list[Mutant]] = {}
    for mutant in dice.sample(found, len(found)):
        by_function.setdefault(mutant.function, []).append(mutant)
    queues = [by_function[name] for name in sorted(by_function)]
    drawn: list[Mutant] = []
    while queues and len(drawn) < count:
        dice.shuffle(queues)
        drawn += [queue.pop() for queue in queues]
        queues = [queue for queue in queues if queue]
    return sorted(drawn[:count], key=lambda mutant: (mutant.line, mutant.column, mutant.what))
