"""Writing into a TOML text: what has not changed stays as it is, to the letter.

The text is not built anew from what it says. Only the places of changed values are replaced, and
comments that stand in a place that goes are put above it, so that none is ever lost.
"""

from __future__ import annotations

import re
import tomllib
from difflib import SequenceMatcher
from typing import TYPE_CHECKING, Any, Final

import tomlkit

from slatewright.errors import PlanFileError
from slatewright.toml.lines import KeyPath, TomlLines

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from tree_sitter import Node

_BARE_KEY: Final = re.compile(r"[A-Za-z0-9_-]+")


def fresh(data: Mapping[str, Any]) -> str:
    """Return a new text: plain keys first, then a paragraph for each table.

    Parameters
    ----------
    data
        What it shall say.

    Returns
    -------
    str
        TOML.
    """
    plain = {name: value for name, value in data.items() if not _is_table(value)}
    blocks = [_lines(plain)]
    blocks += [_block(name, value) for name, value in data.items() if _is_table(value)]
    return "\n".join(block for block in blocks if block)


def merged(text: str, data: Mapping[str, Any]) -> str:
    """Return a text that says something else, with all else untouched.

    Parameters
    ----------
    text
        The text as it is.
    data
        What it shall say.

    Returns
    -------
    str
        TOML.

    Raises
    ------
    PlanFileError
        If the text is no TOML.
    """
    try:
        old = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise PlanFileError(f"the text to write into is no TOML: {error}", right="TOML") from None
    changed = _Patch(text).apply(old, data)
    if not same(tomllib.loads(changed), data):
        raise AssertionError("a text was written that says something else")
    return changed


def same(old: object, new: object) -> bool:
    """Tell whether two values mean the same: 90 and 90.0 do, one word and a list of it do.

    Parameters
    ----------
    old, new
        Values of TOML.
    """
    if isinstance(old, bool) or isinstance(new, bool):
        return old is new
    if isinstance(old, dict) and isinstance(new, dict):
        return old.keys() == new.keys() and all(same(old[name], new[name]) for name in old)
    if isinstance(old, list) and isinstance(new, list):
        return len(old) == len(new) and all(map(same, old, new))
    if isinstance(old, list) and isinstance(new, str):
        return old == [new]
    return old == new


def _is_table(value: object) -> bool:
    return isinstance(value, dict) or (
        isinstance(value, list) and bool(value) and all(isinstance(part, dict) for part in value)
    )


def _short(value: object) -> object:
    """Write whole numbers as a person does, without a point."""
    if isinstance(value, dict):
        return {name: _short(part) for name, part in value.items()}
    if isinstance(value, list):
        return [_short(part) for part in value]
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _value(value: object) -> str:
    if isinstance(value, dict):
        pairs = ", ".join(f"{_key(name)} = {_value(part)}" for name, part in value.items())
        return f"{{ {pairs} }}"
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    return tomlkit.item(_short(value)).as_string()


def _key(*names: object) -> str:
    return ".".join(
        name if _BARE_KEY.fullmatch(name) else tomlkit.item(name).as_string()
        for name in map(str, names)
    )


def _lines(table: Mapping[str, Any]) -> str:
    return "".join(f"{_key(name)} = {_value(value)}\n" for name, value in table.items())


def _block(name: str, value: object) -> str:
    if isinstance(value, dict):
        return f"[{_key(name)}]\n{_lines(value)}"
    tables = value if isinstance(value, list) else []
    return "\n".join(f"[[{_key(name)}]]\n{_lines(table)}" for table in tables)


class _Patch:
    """Changes to a text, collected and then made at once."""

    def __init__(self, text: str) -> None:
        self._end = "\r\n" if "\r\n" in text else "\n"
        if text and not text.endswith("\n"):
            text += self._end
        self._bytes = text.encode()
        self._where = TomlLines(text)
        self._edits: list[tuple[int, int, bytes]] = []

    def apply(self, old: Mapping[str, Any], new: Mapping[str, Any]) -> str:
        self._table((), old, new)
        result, done = [], 0
        for start, end, replacement in sorted(self._edits, key=lambda edit: edit[:2]):
            result += [self._bytes[done:start], replacement]
            done = max(done, end)
        return b"".join([*result, self._bytes[done:]]).decode()

    # what differs

    def _table(self, path: KeyPath, old: Mapping[str, Any], new: Mapping[str, Any]) -> None:
        inline = path in self._where.values
        if inline and old.keys() != new.keys():
            self._replace(path, new)
            return
        for name in old.keys() - new.keys():
            self._remove((*path, name))
        added = {name: value for name, value in new.items() if name not in old}
        for name in new.keys() & old.keys():
            self._entry((*path, name), old[name], new[name])
        plain = {name: value for name, value in added.items() if path or not _is_table(value)}
        if plain:
            self._add(path, plain)
        for name in added.keys() - plain.keys():
            self._insert(len(self._bytes), f"\n{_block(name, added[name])}")

    def _entry(self, path: KeyPath, old: object, new: object) -> None:
        if same(old, new):
            return
        if isinstance(old, dict) and isinstance(new, dict):
            self._table(path, old, new)
        elif isinstance(old, list) and isinstance(new, list) and path not in self._where.values:
            self._tables(path, old, new)
        elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
            for position, (before, after) in enumerate(zip(old, new, strict=True)):
                self._entry((*path, position), before, after)
        else:
            self._replace(path, new)

    def _tables(self, path: KeyPath, old: Sequence[Any], new: Sequence[Any]) -> None:
        """Change ``[[tables]]``: one that moves to another place keeps its comments.

        Tables are known by the value of their first key: a gas by its mixture, a level by its
        depth.
        """
        first = next((name for table in new for name in table), "")
        a, b = ([_mark(table.get(first)) for table in tables] for tables in (old, new))
        for _, i, i_end, j, j_end in SequenceMatcher(None, a, b, autojunk=False).get_opcodes():
            common = min(i_end - i, j_end - j)
            for step in range(common):
                self._table((*path, i + step), old[i + step], new[j + step])
            for position in range(i + common, i_end):
                self._remove((*path, position))
            for table in new[j + common : j_end]:
                self._insert_table(path, i + common, len(old), table)

    # where it stands

    def _replace(self, path: KeyPath, new: object) -> None:
        node = self._where.values.get(path)
        if node is None:
            self._remove(path)
            self._add(path[:-1], {str(path[-1]): new})
            return
        self._keep_comments(node)
        self._edits.append((node.start_byte, node.end_byte, _value(new).encode()))

    def _remove(self, path: KeyPath) -> None:
        for at, header in self._where.tables.items():
            if at[: len(path)] == path:
                key_end = next(c for c in header.children if c.type in {"]", "]]"}).end_byte
                self._cut(header.start_byte, key_end)
        for at, pair in self._where.pairs.items():
            parent = pair.parent
            if at[: len(path)] == path and parent and parent.type != "inline_table":
                self._keep_comments(pair)
                self._cut(pair.start_byte, pair.end_byte)

    def _cut(self, start: int, end: int) -> None:
        """Cut something out; its whole line if nothing else stands there."""
        line_start = self._line_start(start)
        line_end = self._line_end(end)
        rest = self._bytes[end:line_end]
        if not rest.strip():
            self._edits.append((line_start, line_end, b""))
        else:
            blank = len(rest) - len(rest.lstrip(b" \t"))
            self._edits.append((start, end + blank, b""))

    def _keep_comments(self, node: Node) -> None:
        inside = (
            comment
            for comment in self._where.comments
            if node.start_byte <= comment.start_byte and comment.end_byte <= node.end_byte
        )
        kept = "".join(f"{(comment.text or b'').decode().rstrip()}\n" for comment in inside)
        if kept:
            self._insert(self._line_start(node.start_byte), kept)

    def _add(self, path: KeyPath, pairs: Mapping[str, Any]) -> None:
        base = path  # the table with a header in which the keys stand, dotted if need be
        while base and base not in self._where.tables:
            base = base[:-1]
        header = self._where.tables.get(base)
        own = [
            pair
            for at, pair in self._where.pairs.items()
            if at[: len(path)] == path and _stands_in(pair, header)
        ]
        lines = _lines(pairs)
        if base != path:
            within = path[len(base) :]
            lines = "".join(f"{_key(*within, name)} = {_value(v)}\n" for name, v in pairs.items())
        if own:
            last = max(own, key=lambda pair: pair.end_byte)
            start = self._line_start(last.start_byte)
            indent = self._bytes[start : last.start_byte].decode()
            lines = "".join(f"{indent}{line}\n" for line in lines.splitlines())
            self._insert(self._line_end(last.end_byte), lines)
        elif header is not None:
            self._insert(self._line_end(header.start_byte), lines)
        else:
            self._insert(0, lines)

    def _insert_table(self, path: KeyPath, position: int, count: int, table: Any) -> None:  # noqa: ANN401 - a table of TOML
        block = _block(str(path[-1]), [table])
        if position < count:
            at = self._line_start(self._where.tables[*path, position].start_byte)
            while at and self._bytes[self._line_start(at - 1) : at].lstrip().startswith(b"#"):
                at = self._line_start(at - 1)
            self._insert(at, f"{block}\n")
        else:
            last = (*path, count - 1)  # with what is below it, as [partner.rig] is
            parts = [node for at, node in self._where.tables.items() if at[: len(last)] == last]
            ends = [part.start_byte for part in parts]
            ends += [c.end_byte for part in parts for c in part.children if c.type == "pair"]
            self._insert(self._line_end(max(ends)), f"\n{block}")

    def _insert(self, at: int, lines: str) -> None:
        self._edits.append((at, at, lines.replace("\n", self._end).encode()))

    def _line_start(self, at: int) -> int:
        return self._bytes.rfind(b"\n", 0, at) + 1

    def _line_end(self, at: int) -> int:
        end = self._bytes.find(b"\n", at)
        return len(self._bytes) if end < 0 else end + 1


def _stands_in(pair: Node, header: Node | None) -> bool:
    """Tell whether a pair stands under a header, or before the first one if that is None."""
    if pair.parent is None:
        return False
    return pair.parent.type == "document" if header is None else pair.parent.id == header.id


def _mark(value: object) -> str:
    """Return a text that is equal for values that mean the same."""
    return repr(float(value) if isinstance(value, int) else value)
