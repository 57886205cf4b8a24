"""Every scalar of a tree stands where the file has it, to the column; our own emitter tells where that is."""

from __future__ import annotations

from dataclasses import dataclass, field

from hypothesis import given
from hypothesis import strategies as st

from kb.reading.located import node_at, place_in
from kb.reading.tree import Entry, Mapping, Node, Place, Scalar, Sequence, read_tree

LETTERS = st.text("abcdefghij ΩµÄ🎛", min_size=1, max_size=12).map(str.strip).filter(bool)
KEYS = st.text("abcdefghij", min_size=1, max_size=6)
STYLES = st.sampled_from(["", "'", '"', "|"])


@dataclass(frozen=True)
class Text:
    """A scalar to be written in one of the four styles."""

    words: str
    style: str


@dataclass
class Emitter:
    """Writes a nest of dicts, lists and texts as block YAML, and notes where each text begins."""

    lines: list[str] = field(default_factory=list)
    places: dict[tuple[str | int, ...], Place] = field(default_factory=dict)
    text_lines: dict[tuple[str | int, ...], list[Place]] = field(default_factory=dict)

    def write(self, what: object, indent: int, path: tuple[str | int, ...]) -> None:
        """Write the entries of a dict or the items of a list."""
        pairs = list(what.items()) if isinstance(what, dict) else list(enumerate(what))  # type: ignore[call-overload]
        for step, value in pairs:
            head = " " * indent + (f"{step}:" if isinstance(what, dict) else "-")
            if isinstance(value, Text):
                self.write_text(value, head, indent, (*path, step))
            else:
                self.lines.append(head)
                self.write(value, indent + 2, (*path, step))

    def write_text(self, text: Text, head: str, indent: int, path: tuple[str | int, ...]) -> None:
        """Write one text behind its key or hyphen."""
        self.places[path] = Place(len(self.lines) + 1, len(head) + 2)
        if text.style != "|":
            self.lines.append(f"{head} {text.style}{text.words}{text.style}")
            return
        self.lines.append(f"{head} |")
        parts = text.words.split(" ")
        first = len(self.lines) + 1
        self.lines += [" " * (indent + 3) + part if part else "" for part in parts]
        self.text_lines[path] = [Place(first + at, indent + 4) for at in range(len(parts))]


NESTS = st.recursive(
    st.builds(Text, LETTERS, STYLES),
    lambda inner: (
        st.lists(inner, min_size=1, max_size=4) | st.dictionaries(KEYS, inner, min_size=1, max_size=4)
    ),
    max_leaves=15,
)
RECORDS = st.dictionaries(KEYS, NESTS, min_size=1, max_size=5)


@given(RECORDS, st.sampled_from([Place(1, 1), Place(7, 1), Place(3, 5)]))
def test_every_scalar_stands_where_it_was_written(record: dict[str, object], first: Place) -> None:
    emitter = Emitter()
    emitter.write(record, 0, ())
    tree, problems = read_tree("\n".join(emitter.lines) + "\n", "f.yml", first)
    assert tree is not None
    assert problems == ()
    for path, place in emitter.places.items():
        assert place_in(tree, path) == moved(place, first)
    assert scalars(tree) == len(emitter.places)


@given(RECORDS)
def test_every_line_of_a_block_of_text_stands_where_it_was_written(record: dict[str, object]) -> None:
    emitter = Emitter()
    emitter.write(record, 0, ())
    tree, _ = read_tree("\n".join(emitter.lines) + "\n", "f.yml")
    assert tree is not None
    for path, places in emitter.text_lines.items():
        text = node_at(tree, path)
        assert isinstance(text, Scalar)
        assert [text.place_of_line(number) for number in range(len(places))] == places


def test_a_block_with_a_sign_for_its_indentation_is_measured_from_there() -> None:
    tree, problems = read_tree("a:\n  b: |2\n      hot\n    warm\n", "f.yml")
    assert problems == ()
    assert tree is not None
    text = node_at(tree, ("a", "b"))
    assert isinstance(text, Scalar)
    assert text.text == "  hot\nwarm\n"
    assert text.place_of_line(1) == Place(4, 5)


def test_a_path_that_leads_nowhere_is_placed_at_the_nearest_thing_above() -> None:
    tree, _ = read_tree("a:\n  - b: c\n", "f.yml")
    assert tree is not None
    assert place_in(tree, ("a", 0, "x", "y")) == Place(2, 5)
    assert place_in(tree, ("a", 7)) == Place(2, 3)
    assert place_in(tree, ("z",)) == Place(1, 1)
    assert place_in(tree, ("a", 0, "b"), of_key=True) == Place(2, 5)
    assert place_in(tree, ("a", 0, "b")) == Place(2, 8)


def test_an_input_of_a_calculation_is_found_under_the_calculators_name() -> None:
    tree, _ = read_tree("calculation:\n  about: the clock\n  tempo:\n    bpm: 120\n", "f.yml")
    assert tree is not None
    assert place_in(tree, ("calculation", "inputs", "bpm")) == Place(4, 10)


def moved(place: Place, first: Place) -> Place:
    """Where a place of a text stands when the text itself begins at `first`."""
    return Place(place.line + first.line - 1, place.column + first.column - 1)


def scalars(node: Node | Entry) -> int:
    """How many values a tree holds."""
    if isinstance(node, Entry):
        return scalars(node.value)
    if isinstance(node, Mapping):
        return sum(map(scalars, node.entries))
    return sum(map(scalars, node.items)) if isinstance(node, Sequence) else 1
