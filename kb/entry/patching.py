"""New values into the text of a record that exists: what stays the same stays to the byte, comments too.

A change is made where the value stands. What comes out is read back; if it does not say exactly what was
meant, larger pieces are written anew, and where that fails too nothing is changed at all.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from typing import Any

import yaml

try:
    from yaml import CSafeLoader as Loader
except ImportError:  # a PyYAML built without libyaml
    from yaml import SafeLoader as Loader  # type: ignore[assignment]

from kb.entry.emitting import after_colon, field_of, flow, list_item, mapping, one_line
from kb.entry.shapes import Shape
from kb.entry.values import Plain, plain_of, tidy
from kb.reading.tree import read_tree


class CannotPatch(Exception):  # noqa: N818 - it says what it is
    """The text is written in a way that cannot be changed here without touching what must stay."""


def patched(text: str, shape: Shape, meant: dict[str, Plain]) -> str:
    """`text` changed so that it says `meant`, which is tidy; keys that `shape` has not are left alone."""
    for is_deep in (True, False):
        try:
            made = _Patch(text, shape, is_deep).made(meant)
        except CannotPatch:
            continue
        if said(made, shape) == {**_foreign(text, shape), **meant}:
            return made
    raise CannotPatch


def said(text: str, shape: Shape) -> Plain:
    """What the text of a record says, tidy; None where it cannot be read as one."""
    tree, problems = read_tree(text, "")
    if tree is None or problems:
        return None
    found = plain_of(tree)
    return tidy(shape, found) if isinstance(found, dict) else None


def _foreign(text: str, shape: Shape) -> dict[str, Plain]:
    before = said(text, shape)
    if before is None:
        raise CannotPatch
    return {key: each for key, each in before.items() if key not in shape.fields}


@dataclass
class _Patch:
    """One run over one text; edits are kept as (start, end, new text) and made at the end."""

    text: str
    shape: Shape
    is_deep: bool
    edits: list[tuple[int, int, str]] = field(default_factory=list)

    def made(self, meant: dict[str, Plain]) -> str:
        node = yaml.compose(self.text, Loader=Loader)
        self.starts = [0]
        for line in self.text.split("\n"):
            self.starts.append(self.starts[-1] + len(line) + 1)
        if not isinstance(node, yaml.MappingNode) or node.flow_style:
            raise CannotPatch
        self._mapping(node, self.shape, meant)
        return "".join(self._pieces())

    def _pieces(self) -> Iterator[str]:
        at = 0
        for start, end, new in sorted(self.edits, key=lambda each: each[:2]):
            if start < at:
                raise CannotPatch
            yield self.text[at:start]
            yield new
            at = end
        yield self.text[at:]

    def _mapping(self, node: yaml.MappingNode, shape: Shape | None, meant: dict[str, Plain]) -> None:
        """Each entry: kept, changed, taken out, or put in behind one that is kept."""
        there = {key.value: (key, value) for key, value in node.value}
        kept: yaml.Node | None = None
        for key, (key_node, value) in there.items():
            if key in meant and self._is_same(value, field_of(shape, key), meant[key]):
                continue
            if key in meant:
                self._change(key_node, value, field_of(shape, key), meant[key])
            elif shape is None or key in shape.fields or shape.kind == "calculation":
                self._take_out(key_node, value)
        indent = node.value[0][0].start_mark.column
        for key in _in_order(shape, meant):
            if key not in there:
                self._put_in(
                    node,
                    kept,
                    f"{one_line(None, key)}:{after_colon(field_of(shape, key), meant[key], indent)}",
                )
            elif self._is_same(there[key][1], field_of(shape, key), meant[key]) or self._is_line(
                there[key][1]
            ):
                kept = there[key][1]

    def _is_same(self, node: yaml.Node, shape: Shape | None, meant: Plain) -> bool:
        return bool(_tidy_node(node, shape) == meant)

    def _is_line(self, node: yaml.Node) -> bool:
        return isinstance(node, yaml.ScalarNode) and not node.style

    def _change(self, key: yaml.Node, value: yaml.Node, shape: Shape | None, meant: Plain) -> None:
        if self.is_deep and self._deeper(value, shape, meant):
            return
        colon = self.text.index(":", self._at(key.end_mark)) + 1
        end = self._end(value)
        indent = key.start_mark.column
        if _is_flow(value) and isinstance(meant, list | dict) and _is_short(meant):
            self.edits.append((colon, end, f" {flow(meant)}"))
            return
        # A comment behind a value would become part of a block.
        has_comment = bool(self.text[end : self._line_end(end)].strip())
        if has_comment and not isinstance(meant, str):
            raise CannotPatch
        self.edits.append((colon, end, after_colon(shape, meant, indent, may_be_block=not has_comment)))

    def _deeper(self, node: yaml.Node, shape: Shape | None, meant: Plain) -> bool:
        """Change only what differs inside; whether that can be done."""
        if node.start_mark is None or _is_flow(node) or not isinstance(meant, list | dict):
            return False
        if isinstance(node, yaml.MappingNode) and isinstance(meant, dict) and node.value:
            self._mapping(node, shape, meant)
            return True
        if isinstance(node, yaml.SequenceNode) and isinstance(meant, list) and node.value and meant:
            self._sequence(node, shape.item if shape else None, meant)
            return True
        return False

    def _sequence(self, node: yaml.SequenceNode, shape: Shape | None, meant: list[Plain]) -> None:
        before = [repr(_tidy_node(each, shape)) for each in node.value]
        after = [repr(each) for each in meant]
        for what, old, old_end, new, new_end in SequenceMatcher(
            None, before, after, autojunk=False
        ).get_opcodes():
            if what == "equal":
                continue
            both = min(old_end - old, new_end - new)
            for number in range(both):
                self._item(node.value[old + number], shape, meant[new + number])
            for item in node.value[old + both : old_end]:
                self.edits.append((self._line_of_hyphen(item), self._line_end(self._end(item)) + 1, ""))
            if new + both < new_end:
                self._put_items(node, old + both, shape, meant[new + both : new_end])

    def _item(self, node: yaml.Node, shape: Shape | None, meant: Plain) -> None:
        if self._deeper(node, shape, meant):
            return
        indent = self._line_of_hyphen(node)
        column = self._at(node.start_mark) - indent
        hyphen = self.text.index("-", indent, indent + column) - indent
        if _is_flow(node) and isinstance(meant, list | dict):
            new = flow(meant)
        else:
            new = list_item(shape, meant, hyphen)
        end = self._end(node)
        if "\n" in new and self.text[end : self._line_end(end)].strip():
            raise CannotPatch
        self.edits.append((self._at(node.start_mark), end, new))

    def _put_items(self, node: yaml.SequenceNode, at: int, shape: Shape | None, items: list[Plain]) -> None:
        first = self._line_of_hyphen(node.value[0])
        hyphen = self.text.index("-", first) - first
        lines = [f"{' ' * hyphen}- {list_item(shape, each, hyphen)}" for each in items]
        if at == 0:
            self.edits.append((first, first, "".join(f"{each}\n" for each in lines)))
            return
        end = self._line_end(self._end(node.value[at - 1]))
        self.edits.append((end, end, "".join(f"\n{each}" for each in lines)))

    def _take_out(self, key: yaml.Node, value: yaml.Node) -> None:
        start = self.starts[key.start_mark.line]
        if self.text[start : self._at(key.start_mark)].strip():
            raise CannotPatch
        end = self._line_end(self._end(value))
        # The last line of a file need not end; then the end before it goes.
        self.edits.append((start, min(end + 1, len(self.text)), ""))

    def _put_in(self, node: yaml.MappingNode, kept: yaml.Node | None, lines: str) -> None:
        first = node.value[0][0].start_mark
        indent = " " * first.column
        if kept is None:
            start = self.starts[first.line]
            if self.text[start : self._at(first)].strip():
                raise CannotPatch
            self.edits.append((start, start, f"{indent}{lines}\n"))
            return
        end = self._line_end(self._end(kept))
        self.edits.append((end, end, f"\n{indent}{lines}"))

    def _line_of_hyphen(self, item: yaml.Node) -> int:
        """Where the line of an item begins; its hyphen must be the only thing before it there."""
        start = self.starts[item.start_mark.line]
        if self.text[start : self._at(item.start_mark)].strip() != "-":
            raise CannotPatch
        return start

    def _at(self, mark: Any) -> int:
        return int(self.starts[mark.line] + mark.column)

    def _line_end(self, offset: int) -> int:
        found = self.text.find("\n", offset)
        return len(self.text) if found < 0 else found

    def _end(self, node: yaml.Node) -> int:
        """Where the text of a value ends; the parser's own mark may lie behind comments that follow."""
        if isinstance(node, yaml.ScalarNode):
            if node.style in ("|", ">"):
                return self._end_of_block(node)
            return self._at(node.end_mark)
        if _is_flow(node) or not node.value:
            return self._at(node.end_mark)
        last = node.value[-1]
        return self._end(last[1] if isinstance(last, tuple) else last)

    def _end_of_block(self, node: yaml.ScalarNode) -> int:
        """A block goes on while lines are as far in as its first one; blank ones at its end are not of it."""
        lines = self.text.split("\n")
        first = next(
            number for number in range(node.start_mark.line + 1, len(lines)) if lines[number].strip()
        )
        indent = len(lines[first]) - len(lines[first].lstrip(" "))
        last = first
        for number in range(first, len(lines)):
            if lines[number].strip():
                if len(lines[number]) - len(lines[number].lstrip(" ")) < indent:
                    break
                last = number
        return self.starts[last] + len(lines[last])


def _tidy_node(node: yaml.Node, shape: Shape | None) -> Plain:
    return tidy(shape, _plain(node))


def _plain(node: yaml.Node) -> Plain:
    if isinstance(node, yaml.MappingNode):
        return {key.value: _plain(value) for key, value in node.value}
    if isinstance(node, yaml.SequenceNode):
        return [_plain(each) for each in node.value]
    return node.value


def _in_order(shape: Shape | None, meant: dict[str, Plain]) -> list[str]:
    known = list(shape.fields) if shape else []
    return sorted(meant, key=lambda key: known.index(key) if key in known else len(known))


def _is_flow(node: yaml.Node) -> bool:
    return isinstance(node, yaml.CollectionNode) and bool(node.flow_style)


def _is_short(value: Plain) -> bool:
    under = value.values() if isinstance(value, dict) else value
    return all(isinstance(each, str) and "\n" not in each for each in under) and len(flow(value)) < 90


def whole(shape: Shape, meant: dict[str, Plain]) -> str:
    """A record that was not there before, its fields in the order of the form."""
    return f"{mapping(shape, {key: meant[key] for key in _in_order(shape, meant)}, 0)}\n"
