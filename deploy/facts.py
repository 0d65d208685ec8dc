"""Write docs/sources.md, the table of every number in `sizing` and where it comes from.

    python3 deploy/facts.py

Run it in the test environment; a test fails while the table is not the one in the code.
"""

import ast
import importlib
import pkgutil
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

import sizing
from sizing.breeds import BREEDS, HEAD_AND_EARS_ORIGIN, RISK_ORIGINS
from sizing.evidence import Fact

TABLE = ROOT / "docs" / "sources.md"
HEAD = """# Where the numbers come from

Written by `python3 deploy/facts.py` from the code; a test keeps it current. Grades, strongest
first: *published* (author, year, title), *derived* (it says how), *common practice, no source*,
*from memory* (still to be verified). What is weak says so.
"""


def facts(value: object, name: str) -> Iterator[tuple[str, Fact]]:
    """Yield the facts in a module's value, with the name that leads to each."""
    if isinstance(value, Fact):
        yield name, value
    elif isinstance(value, Mapping):
        for key, below in value.items():
            label = getattr(key, "name", key)
            yield from facts(below, f"{name}[{label}]")
    elif isinstance(value, tuple):
        for place, below in enumerate(value):
            yield from facts(below, f"{name}[{place}]")


def modules() -> Iterator[str]:
    """Yield the names of the core's modules, the breed tables left out."""
    for info in pkgutil.walk_packages(sizing.__path__, "sizing."):
        if not info.name.startswith("sizing.breeds."):
            yield info.name


def own_names(path: Path) -> list[str]:
    """Return the public names that a module assigns itself, in its order."""
    targets: list[ast.expr] = []
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.AnnAssign):
            targets.append(node.target)
        elif isinstance(node, ast.Assign):
            targets += node.targets
    names = [target.id for target in targets if isinstance(target, ast.Name)]
    return [name for name in names if not name.startswith("_")]


def section(module: str) -> str:
    """Return the table of one module, or nothing."""
    loaded = importlib.import_module(module)
    names = own_names(Path(str(loaded.__file__)))
    found = [pair for name in names for pair in facts(getattr(loaded, name), name)]
    if not found:
        return ""
    lines = [f"\n## {module}\n", "| name | value | unit | origin |", "|---|---|---|---|"]
    lines += [f"| `{name}` | {f.value:.6g} | {f.unit} | {f.origin} |" for name, f in found]
    return "\n".join(lines) + "\n"


def breeds() -> str:
    """Return the section on the breed table."""
    lines = [
        "\n## sizing.breeds\n",
        f"{len(BREEDS)} breeds; each row cites the source of its weight and height.\n",
        f"* Head type and ears: {HEAD_AND_EARS_ORIGIN}",
        *(f"* Risk “{risk}”: {origin}" for risk, origin in RISK_ORIGINS.items()),
        "\n| breed | weight, kg | height, cm | head | ears | source |\n|---|---|---|---|---|---|",
    ]
    for breed in BREEDS:
        weight = f"{breed.weight_kg[0]:g} to {breed.weight_kg[1]:g}"
        height = f"{breed.height_cm[0]:g} to {breed.height_cm[1]:g}" if breed.height_cm else ""
        cite = "; ".join(part for part in (breed.cite, breed.facts_cite) if part)
        lines.append(
            f"| {breed.name} | {weight} | {height} | {breed.head} | {breed.ears} | {cite} |"
        )
    return "\n".join(lines) + "\n"


def table() -> str:
    """Return the whole document."""
    return HEAD + "".join(section(module) for module in modules()) + breeds()


if __name__ == "__main__":
    TABLE.write_text(table(), encoding="utf-8")
    print(f"{TABLE.relative_to(ROOT)} written.")
