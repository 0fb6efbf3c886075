"""Where in a TOML text a value stands.

The standard library's reader keeps no positions, so a text that has a fault, or that is to be
changed, is parsed a second time, with a grammar that does. Reading a good file never comes here,
and the parser is imported only then.
"""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING, Final, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tree_sitter import Node

KeyPath: TypeAlias = tuple[str | int, ...]
"""A way to a value: keys, and positions in arrays counted from 0."""

_KEYS: Final = frozenset({"bare_key", "quoted_key", "dotted_key"})


class TomlLines:
    """The places of the keys, tables, values and comments of a TOML text.

    Parameters
    ----------
    text
        The text, valid TOML.

    Attributes
    ----------
    pairs
        Key path to the node of ``key = value``.
    values
        Key path to the node of the value; elements of arrays have a path as well.
    tables
        Key path to the node of a table that has a header, ``[a]`` or ``[[a]]``.
    comments
        The nodes of all comments, in the order of the text.
    """

    def __init__(self, text: str) -> None:
        import tree_sitter  # noqa: PLC0415 - only a text with a fault needs the second parser
        import tree_sitter_toml  # noqa: PLC0415 - same

        parser = tree_sitter.Parser(tree_sitter.Language(tree_sitter_toml.language()))
        root = parser.parse(text.encode()).root_node
        self.pairs: dict[KeyPath, Node] = {}
        self.values: dict[KeyPath, Node] = {}
        self.tables: dict[KeyPath, Node] = {}
        self.comments = tuple(_comments(root))
        self._lines: dict[KeyPath, int] = {}
        self._begun: dict[KeyPath, int] = {}  # how often an array of tables has begun so far
        for node in root.children:
            if node.type == "pair":
                self._pair((), node)
            elif node.type in {"table", "table_array_element"}:
                self._table(node)

    def line(self, path: KeyPath) -> int:
        """Return the line of a value, or of the nearest thing around it that stands in the text.

        Parameters
        ----------
        path
            The way to the value; of a missing key the line of its table is returned.

        Returns
        -------
        int
            Counted from 1; 1 if nothing around it is written.
        """
        while path and path not in self._lines:
            path = path[:-1]
        return self._lines.get(path, 1)

    def _note(self, path: KeyPath, node: Node) -> None:
        self._lines.setdefault(path, node.start_point.row + 1)

    def _table(self, node: Node) -> None:
        keys = tuple(_decoded(next(child for child in node.children if child.type in _KEYS)))
        path: KeyPath = ()
        for position, key in enumerate(keys):
            path = (*path, key)
            self._note(path, node)
            if position == len(keys) - 1 and node.type == "table_array_element":
                self._begun[path] = self._begun.get(path, 0) + 1
            if path in self._begun:
                path = (*path, self._begun[path] - 1)
                self._note(path, node)
        self.tables[path] = node
        for child in node.children:
            if child.type == "pair":
                self._pair(path, child)

    def _pair(self, base: KeyPath, node: Node) -> None:
        key, *_, value = (child for child in node.named_children if child.type != "comment")
        path = base
        for part in _decoded(key):
            path = (*path, part)
            self._note(path, key)
        self.pairs[path] = node
        self._value(path, value)

    def _value(self, path: KeyPath, node: Node) -> None:
        self.values[path] = node
        if node.type == "inline_table":
            for child in node.named_children:
                if child.type == "pair":
                    self._pair(path, child)
        elif node.type == "array":
            elements = (child for child in node.named_children if child.type != "comment")
            for position, element in enumerate(elements):
                self._note((*path, position), element)
                self._value((*path, position), element)


def _decoded(node: Node) -> Iterator[str]:
    """Yield the parts of a bare, quoted or dotted key, without quotes and escapes."""
    if node.type == "dotted_key":
        for child in node.named_children:
            yield from _decoded(child)
        return
    written = (node.text or b"").decode()
    if node.type == "quoted_key":
        yield next(iter(tomllib.loads(f"{written} = 0")))
    else:
        yield written


def _comments(node: Node) -> Iterator[Node]:
    for child in node.named_children:
        if child.type == "comment":
            yield child
        else:
            yield from _comments(child)
