"""What may stand in the place of a piece of logic: each a small change a test ought to notice."""

import ast
from collections.abc import Callable, Iterator

_COMPARED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
}
_OTHER: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.FloorDiv,
    ast.Pow: ast.Mult,
}
_CALLED = {
    "min": "max",
    "max": "min",
    "any": "all",
    "all": "any",
    "floor": "ceil",
    "ceil": "floor",
}
_RETURNED = {"bool": "not ({})", "int": "({}) + 1", "float": "({}) * 1.01", "Decimal": "({}) * 2"}


def changes(node: ast.AST, returned: str) -> Iterator[tuple[ast.expr | ast.stmt, str]]:
    """Yield what may stand in a node's place, with a word on it."""
    for kind, change in _OPERATORS:
        if isinstance(node, kind):
            yield from ((made, f"{_short(node)} -> {_short(made)}") for made in change(node))
    if isinstance(node, ast.Return) and node.value and not isinstance(node.value, ast.Constant):
        form = _RETURNED.get(returned)
        if form:
            made = ast.parse(form.format(ast.unparse(node.value)), mode="eval").body
            yield ast.Return(made), f"return of a {returned}: {form.format('it')}"
        elif returned.endswith("| None"):
            yield ast.Return(ast.Constant(None)), "return None"
        elif returned.startswith(("tuple[", "list[", "str")):
            made = ast.parse(f"({ast.unparse(node.value)})[1:]", mode="eval").body
            yield ast.Return(made), "return without the first"


def _short(node: ast.AST, most: int = 70) -> str:
    text = ast.unparse(node).partition("\n")[0]
    return text if len(text) <= most else text[:most] + "…"


def _compare(node: ast.Compare) -> Iterator[ast.expr]:
    for place, op in enumerate(node.ops):
        for other in _COMPARED[type(op)]:
            ops = [*node.ops[:place], other(), *node.ops[place + 1 :]]
            yield ast.Compare(node.left, ops, node.comparators)


def _arithmetic(node: ast.BinOp) -> Iterator[ast.expr]:
    other = _OTHER.get(type(node.op))
    words = any(isinstance(p, ast.Constant) and isinstance(p.value, str) for p in ast.walk(node))
    if other and not words:
        yield ast.BinOp(node.left, other(), node.right)


def _in_place(node: ast.AugAssign) -> Iterator[ast.stmt]:
    other = _OTHER.get(type(node.op))
    if other:
        yield ast.AugAssign(node.target, other(), node.value)


def _both(node: ast.BoolOp) -> Iterator[ast.expr]:
    yield ast.BoolOp(ast.Or() if isinstance(node.op, ast.And) else ast.And(), node.values)


def _sign(node: ast.UnaryOp) -> Iterator[ast.expr]:
    if isinstance(node.op, ast.Not | ast.USub):
        yield node.operand


def _number(node: ast.Constant) -> Iterator[ast.expr]:
    if isinstance(node.value, bool):
        yield ast.Constant(not node.value)
    elif isinstance(node.value, int | float):
        yield ast.Constant(node.value + 1)
        yield ast.Constant(node.value - 1)


def _negated(node: ast.If | ast.IfExp) -> Iterator[ast.expr | ast.stmt]:
    if isinstance(node.test, ast.Compare | ast.BoolOp | ast.UnaryOp):
        return  # changed themselves
    test = ast.UnaryOp(ast.Not(), node.test)
    if isinstance(node, ast.IfExp):
        yield ast.IfExp(test, node.body, node.orelse)
    elif ast.unparse(node.test) != "TYPE_CHECKING":
        yield ast.If(test, node.body, node.orelse)


def _one_branch(node: ast.IfExp) -> Iterator[ast.expr]:
    yield node.body
    yield node.orelse


def _swapped(node: ast.Call) -> Iterator[ast.expr]:
    if isinstance(node.func, ast.Name) and node.func.id in _CALLED:
        yield ast.Call(ast.Name(_CALLED[node.func.id], ast.Load()), node.args, node.keywords)


def _unfiltered(node: ast.ListComp | ast.GeneratorExp | ast.SetComp) -> Iterator[ast.expr]:
    for place, loop in enumerate(node.generators):
        if loop.ifs:
            freed = ast.comprehension(loop.target, loop.iter, [], loop.is_async)
            loops = [*node.generators[:place], freed, *node.generators[place + 1 :]]
            yield type(node)(node.elt, loops)


_Change = Callable[..., Iterator[ast.expr | ast.stmt]]
_OPERATORS: tuple[tuple[type[ast.AST] | tuple[type[ast.AST], ...], _Change], ...] = (
    (ast.Compare, _compare),
    (ast.BinOp, _arithmetic),
    (ast.AugAssign, _in_place),
    (ast.BoolOp, _both),
    (ast.UnaryOp, _sign),
    (ast.Constant, _number),
    ((ast.If, ast.IfExp), _negated),
    (ast.IfExp, _one_branch),
    (ast.Call, _swapped),
    ((ast.ListComp, ast.GeneratorExp, ast.SetComp), _unfiltered),
)
