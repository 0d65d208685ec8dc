"""Importing `sizing` with a change in one of its modules, the files left as they are."""

import ast
import functools
import importlib.abc
import importlib.machinery
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from types import CodeType, ModuleType

ROOT = Path(__file__).resolve().parent.parent.parent


class _Changed(importlib.machinery.SourceFileLoader):
    """Loads a module with other code than its file's."""

    def __init__(self, name: str, path: str, code: CodeType) -> None:
        super().__init__(name, path)
        self._code = code

    def get_code(self, fullname: str) -> CodeType:  # noqa: ARG002 - the interface names it
        return self._code


class Finder(importlib.abc.MetaPathFinder):
    """Finds the modules of `sizing`, and lets them be changed before they are loaded."""

    def __init__(self, change: Callable[[str, ast.Module], ast.Module | None]) -> None:
        """Take what changes a module, given its path; None leaves it."""
        self._change = change

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        """Return the spec of a changed module, or None."""
        if not fullname.startswith("sizing."):
            return None
        spec = importlib.machinery.PathFinder.find_spec(fullname, path, target)
        if spec is None or spec.origin is None:
            return None
        file = Path(spec.origin)
        tree = ast.parse(file.read_text(encoding="utf-8"))
        changed = self._change(file.relative_to(ROOT).as_posix(), tree)
        if changed is not None:
            code = compile(changed, spec.origin, "exec", dont_inherit=True)
            spec.loader = _Changed(fullname, spec.origin, code)
        return spec


def module_of(path: str) -> str:
    """Return the name of the module in a file, its path taken from the root."""
    return path.removesuffix(".py").replace("/", ".").removesuffix(".__init__")


def modules() -> dict[str, str]:
    """Return the names of all modules of `sizing` by their paths."""
    files = sorted((ROOT / "sizing").rglob("*.py"))
    paths = (file.relative_to(ROOT).as_posix() for file in files)
    return {path: module_of(path) for path in paths}


@functools.cache
def imported(module: str) -> frozenset[str]:
    """Return the modules of `sizing` that a module of it imports itself, their packages too."""
    file = ROOT.joinpath(*module.split("."))
    file = file / "__init__.py" if file.is_dir() else file.with_suffix(".py")
    if not file.exists():
        return frozenset()
    names = {module}
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module, *(f"{node.module}.{part.name}" for part in node.names)}
        elif isinstance(node, ast.Import):
            names |= {part.name for part in node.names}
    with_packages = {name.rsplit(".", up)[0] for name in names for up in range(name.count("."))}
    return frozenset(name for name in with_packages if name.startswith("sizing.")) - {module}


def forget(module: str) -> None:
    """Take a module, and all that rests on it, out of what is imported."""
    gone: set[str] = {module}
    last: set[str] = set()
    while gone != last:
        last = set(gone)
        gone |= {name for name in modules().values() if imported(name) & last}
    for name in gone & set(sys.modules):
        package, _, own = name.rpartition(".")
        if hasattr(sys.modules[package], own):
            delattr(sys.modules[package], own)
    for name in gone:
        sys.modules.pop(name, None)
