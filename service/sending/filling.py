"""Filling in a mail template that the maker has written.

Jinja's sandbox is the second wall. The first is the little that a template may hold: text,
plain values, `{% if %}`, and a few filters. Without loops, calls and sums the time and the
space it takes grow no faster than its own length, so the limit of length is one of time too.
"""

import re
from collections.abc import Iterator, Mapping
from functools import cache, lru_cache
from typing import Final

from jinja2 import StrictUndefined, Template, TemplateError, TemplateSyntaxError, nodes
from jinja2.sandbox import ImmutableSandboxedEnvironment

from service.errors import TemplateFaultError

LONGEST: Final = 20_000
"""Characters of a template."""
LONGEST_SUBJECT: Final = 1_000
LONGEST_FILLED: Final = 400_000
"""Characters of a mail's text: several times what the longest template and values need."""
DEEPEST: Final = 12
"""How deep things may stand in one another."""
FILTERS: Final = ("upper", "lower", "title", "capitalize", "trim", "default")
ALLOWED: Final = (
    nodes.Template, nodes.Output, nodes.TemplateData, nodes.Name, nodes.Const, nodes.If,
    nodes.Filter, nodes.Compare, nodes.Operand, nodes.And, nodes.Or, nodes.Not, nodes.CondExpr,
)  # fmt: skip
_CONTROL: Final = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
_ONLY: Final = "Use only {{ names }}, {% if name %} … {% endif %}, and the filters " + ", ".join(
    FILTERS
)


@cache
def _environment(*, html: bool) -> ImmutableSandboxedEnvironment:
    made = ImmutableSandboxedEnvironment(
        autoescape=html, undefined=StrictUndefined, keep_trailing_newline=False
    )
    made.trim_blocks = made.lstrip_blocks = True
    made.globals.clear()
    made.filters = {name: made.filters[name] for name in FILTERS}
    made.tests.clear()
    return made


def _fault(field: str, line: int, said: str) -> TemplateFaultError:
    sentence = f"Line {line}: {said}"
    return TemplateFaultError(sentence, {field: sentence})


def _walk(node: nodes.Node, depth: int = 0, line: int = 1) -> Iterator[tuple[nodes.Node, int]]:
    """Yield all nodes with their depth; the line of a node is never before its parent's."""
    node.lineno = max(node.lineno or line, line)
    yield node, depth
    if depth <= DEEPEST:
        for child in node.iter_child_nodes():
            yield from _walk(child, depth + 1, node.lineno)


def _misused(node: nodes.Node, depth: int, names: frozenset[str]) -> str:
    """Return what is wrong with a node, or nothing."""
    if depth > DEEPEST:
        return "This stands too deep inside other things. Write it more plainly."
    if not isinstance(node, ALLOWED):
        return f"{type(node).__name__.lower()} is not for mails. {_ONLY}."
    if isinstance(node, nodes.Name) and node.name not in names:
        known = ", ".join(sorted(names))
        return f"There is no {{{{ {node.name[:40]} }}}}. The names are: {known}."
    if isinstance(node, nodes.Filter) and node.name not in FILTERS:
        return f"There is no filter {node.name[:40]}. The filters are: {', '.join(FILTERS)}."
    return ""


def _printable(field: str, text: str) -> None:
    """Refuse what no mail shows and no database keeps."""
    found = _CONTROL.search(text)
    if found:
        line = text.count("\n", 0, found.start()) + 1
        said = f"Take out the control character U+{ord(found[0]):04X}: no mail can show it."
        raise _fault(field, line, said)


@lru_cache(maxsize=64)  # both languages of every mail's parts, as they are kept now
def _ready(field: str, source: str, names: frozenset[str]) -> Template:
    """Return a template that can be filled in with values of some names."""
    most = LONGEST_SUBJECT if field == "subject" else LONGEST
    if len(source) > most:
        line = source.count("\n", 0, most) + 1
        raise _fault(field, line, f"This is too long: {most} characters at most.")
    _printable(field, source)
    environment = _environment(html=field == "html")
    try:
        for node, depth in _walk(environment.parse(source)):
            if said := _misused(node, depth, names):
                raise _fault(field, node.lineno, said)
        return environment.from_string(source)
    except TemplateSyntaxError as error:
        raise _fault(field, error.lineno, f"{error.message}.".replace("..", ".")) from error
    except (RecursionError, SyntaxError, MemoryError) as error:
        said = "This is nested too deeply. Write it more plainly."
        raise _fault(field, 1, said) from error


def check(field: str, source: str, names: frozenset[str]) -> None:
    """Refuse a template that cannot be filled in with values of some names.

    Raises:
        TemplateFaultError: with the line.
    """
    _ready(field, source, names)


def fill(field: str, source: str, values: Mapping[str, str]) -> str:
    """Return a template filled in; in HTML the values are escaped.

    Raises:
        TemplateFaultError: if it cannot be.
    """
    ready = _ready(field, source, frozenset(values))
    try:
        filled = ready.render(values)
    except TemplateError as error:
        raise _fault(field, 1, f"This cannot be filled in: {error.message}") from error
    if len(filled) > LONGEST_FILLED:
        raise _fault(field, 1, "Filled in, this is too long for a mail. Make it shorter.")
    _printable(field, filled)  # one may be written as \x00
    return filled
