"""Every public docstring is complete: arguments described, floats with a unit, citations known."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from slatewright.sources.bibliography import cited_keys, references

PACKAGE = Path(__file__).parents[2] / "src" / "slatewright"
FILES = sorted(PACKAGE.rglob("*.py"))
_UNIT = re.compile(r"\[[^\]]+\]")
_PARAMETER = re.compile(r"^(?P<names>\*{0,2}\w+(?:, \*{0,2}\w+)*)(?: : .*)?$")


def described(docstring: str) -> dict[str, str]:
    """Return parameter name to its text, from the numpydoc section."""
    section, inside, names, texts = [], False, [], {}
    for line in docstring.splitlines():
        if line.strip() in {"Parameters", "Other Parameters"}:
            inside = True
        elif inside and line.strip() in {"Returns", "Raises", "Notes", "Yields", "Examples"}:
            break
        elif inside and not set(line.strip()) <= {"-"}:
            section.append(line)
    for line in section:
        if not line.startswith(" ") and (match := _PARAMETER.match(line)):
            names = [name.strip().lstrip("*") for name in match["names"].split(",")]
            texts.update(dict.fromkeys(names, ""))
        else:
            texts.update({name: texts[name] + " " + line.strip() for name in names})
    return texts


def public_functions():
    for path in FILES:
        tree = ast.parse(path.read_text("utf-8"))
        private_module = any(part.startswith("_") for part in path.relative_to(PACKAGE).parts[:-1])
        if private_module or path.name.startswith("_"):
            continue
        yield from walk(tree, path, ())


def walk(node, path, outer):
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.ClassDef) and not child.name.startswith("_"):
            yield from walk(child, path, (*outer, child.name))
        elif isinstance(child, ast.FunctionDef) and not child.name.startswith("_"):
            where = f"{path.relative_to(PACKAGE)}:{'.'.join((*outer, child.name))}"
            yield pytest.param(child, id=where)


def arguments(function: ast.FunctionDef):
    every = [*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs]
    return [a for a in every if a.arg not in {"self", "cls"}]


@pytest.mark.parametrize("function", list(public_functions()))
def test_arguments_are_described(function):
    docstring = ast.get_docstring(function) or ""
    assert docstring, "no docstring"
    if any(isinstance(d, ast.Attribute) and d.attr == "setter" for d in function.decorator_list):
        return
    texts = described(docstring)
    for argument in arguments(function):
        assert argument.arg in texts, f"{argument.arg} is not described"
        kind = ast.unparse(argument.annotation) if argument.annotation else ""
        is_number = kind in {"float", "float | None"}
        if is_number and not _UNIT.search(texts[argument.arg]):
            section = docstring.split("Returns")[0]
            assert _UNIT.search(section), f"{argument.arg} is a float without a unit"


def test_citations_are_in_the_bibliography():
    known = set(references())
    for path in [*FILES, *PACKAGE.rglob("*.toml")]:
        if path.name == "references.toml":
            continue
        text = path.read_text("utf-8")
        for key in cited_keys(text):
            if re.fullmatch(r"[A-Z][A-Z0-9-]*\d{2,4}[a-z]?(-\d)?", key):
                assert key in known, f"{path.name} cites [{key}]"


def test_every_folder_says_what_lives_there():
    for folder in {path.parent for path in FILES if path.name != "__main__.py"}:
        if not folder.name.startswith("_") and folder != PACKAGE:
            assert (folder / "README.md").is_file(), f"{folder.name} has no README.md"


def test_files_stay_small():
    for path in FILES:
        lines = len(path.read_text("utf-8").splitlines())
        assert lines <= 420, f"{path.name} has {lines} lines"
