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
    details = [
        (node.lineno, target.id, _details(node.value, {}))
        for node, target in _assigned(function)
        if isinstance(node.value, ast.Dict | ast.Call)
    ]
    codes = {target.id: _codes(node.value, {}) for node, target in _assigned(function)}
    for call in ast.walk(function):
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name):
            before = sorted(one for one in details if one[0] <= call.lineno)
            known = {name: keys for _, name, keys in before}
            yield from _in_call(call, call.func.id, known, codes)


def _assigned(function: ast.FunctionDef) -> Iterator[tuple[ast.Assign, ast.Name]]:
    for node in ast.walk(function):
        if isinstance(node, ast.Assign):
            yield from ((node, one) for one in node.targets if isinstance(one, ast.Name))


def _in_call(
    call: ast.Call,
    name: str,
    known: dict[str, frozenset[str]],
    codes: dict[str, tuple[str, ...]],
) -> Iterator[tuple[str, frozenset[str]]]:
    at = {"Reason": 0, "_reason": 2}.get(name)
    if at is None or len(call.args) <= at:
        return
    names = {"cycle"} if name == "_reason" else set()
    for value in (*call.args[at + 1 :], *(one.value for one in call.keywords if not one.arg)):
        names |= _details(value, known)
    names |= {one.arg for one in call.keywords if one.arg}
    for code in _codes(call.args[at], codes):
        yield code, frozenset(names)


def _codes(node: ast.expr, known: dict[str, tuple[str, ...]]) -> tuple[str, ...]:
    """Return the codes that an expression may come to: one, or one of two."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return (node.value,)
    if isinstance(node, ast.IfExp):
        return (*_codes(node.body, known), *_codes(node.orelse, known))
    return known.get(node.id, ()) if isinstance(node, ast.Name) else ()


def _details(node: ast.expr, known: dict[str, frozenset[str]]) -> frozenset[str]:
    """Return the names of what an expression tells: a map, a name for one, or a named burn."""
    if isinstance(node, ast.Dict):
        return frozenset(
            one
            for key, value in zip(node.keys, node.values, strict=True)
            for one in (
                _details(value, known) if key is None else
                [str(key.value)] if isinstance(key, ast.Constant) else []
            )
        )  # fmt: skip
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "_named":
        return frozenset({"burn", "candle", *(one.arg for one in node.keywords if one.arg)})
    return known.get(node.id, frozenset()) if isinstance(node, ast.Name) else frozenset()
