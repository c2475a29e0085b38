"""What the verdicts raise, read from their source: each code with the details it is given."""

import ast
from collections.abc import Iterator
from pathlib import Path

import handbook_builder.verdicts as room


def raised() -> dict[str, frozenset[str]]:
    """Return every reason code that is written out, with the details that each raising gives.

    A code raised in two places has only the details that both give.
    """
    found: dict[str, frozenset[str]] = {}
    for file in sorted(Path(room.__path__[0]).glob("*.py")):
        for function in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(function, ast.FunctionDef):
                for code, names in _in_function(function):
                    found[code] = found.get(code, names) & names
    return found


def _in_function(function: ast.FunctionDef) -> Iterator[tuple[str, frozenset[str]]]:
    assigned = [
        (node.lineno, target.id, _keys(node.value))
        for node in ast.walk(function)
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Dict)
        for target in node.targets
        if isinstance(target, ast.Name)
    ]
    for call in ast.walk(function):
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name):
            before = sorted(one for one in assigned if one[0] <= call.lineno)
            yield from _in_call(call, call.func.id, {name: keys for _, name, keys in before})


def _in_call(
    call: ast.Call, name: str, known: dict[str, frozenset[str]]
) -> Iterator[tuple[str, frozenset[str]]]:
    at = {"Reason": 0, "_reason": 2}.get(name)
    code = call.args[at] if at is not None else None
    if at is None or not isinstance(code, ast.Constant):
        return
    names = {"cycle"} if name == "_reason" else set()
    for value in (*call.args[at + 1 :], *(one.value for one in call.keywords if not one.arg)):
        names |= _keys(value) if isinstance(value, ast.Dict) else _named(value, known)
    names |= {one.arg for one in call.keywords if one.arg}
    yield str(code.value), frozenset(names)


def _keys(node: ast.Dict) -> frozenset[str]:
    return frozenset(str(key.value) for key in node.keys if isinstance(key, ast.Constant))


def _named(node: ast.expr, known: dict[str, frozenset[str]]) -> frozenset[str]:
    return known.get(node.id, frozenset()) if isinstance(node, ast.Name) else frozenset()
