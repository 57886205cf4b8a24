"""The drawing in words, for whoever hears the page instead of seeing it. Names stand as written."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from kb.drawings.blocks import Flow, FlowBlock
from kb.drawings.layering import returning_links
from kb.drawings.lettering import clean

_STATE_WORDS = {"here": "Here", "cleared": "Cleared", "suspect": "Suspect", "absent": "Absent"}


def describe_flow(flow: Flow) -> str:
    """A sentence for each block that feeds another, then what stands alone, test points and states."""
    names = spoken_names(flow.blocks)
    sentences = [
        *_feeding(flow, names),
        *_alone(flow, names),
        *_test_points(flow, names),
        *_states(flow, names),
    ]
    return " ".join(sentences)


def spoken_names(blocks: Sequence[FlowBlock]) -> dict[str, str]:
    """A name for each block id; where two blocks bear one name, the id is said too."""
    plain = {block.id: clean(block.name) or clean(block.id) or "unnamed block" for block in blocks}
    times = Counter(plain.values())
    return {key: name if times[name] == 1 else f"{name} ({clean(key)})" for key, name in plain.items()}


def _feeding(flow: Flow, names: Mapping[str, str]) -> list[str]:
    numbers = {block.id: number for number, block in enumerate(flow.blocks)}
    links = list(dict.fromkeys(flow.links))
    back = returning_links(len(numbers), [(numbers[link.source], numbers[link.target]) for link in links])
    sentences = []
    for block in flow.blocks:
        onward: list[str] = []
        returning: list[str] = []
        for link in links:
            if link.source == block.id:
                is_back = (numbers[link.source], numbers[link.target]) in back
                (returning if is_back else onward).append(_target(link.target, link.label, block.id, names))
        clauses = [f"feeds {_listed(onward)}"] if onward else []
        clauses += [f"feeds back to {_listed(returning)}"] if returning else []
        if clauses:
            sentences.append(_sentence(f"{names[block.id]} {' and '.join(clauses)}"))
    return sentences


def _target(target: str, label: str, source: str, names: Mapping[str, str]) -> str:
    name = "itself" if target == source else names[target]
    signal = clean(label)
    return f"{name} ({signal})" if signal else name


def _alone(flow: Flow, names: Mapping[str, str]) -> list[str]:
    linked = {end for link in flow.links for end in (link.source, link.target)}
    alone = [names[block.id] for block in flow.blocks if block.id not in linked]
    return [_sentence(f"No link to or from {_listed(alone)}")] if alone else []


def _test_points(flow: Flow, names: Mapping[str, str]) -> list[str]:
    points = [(clean(block.test_point), names[block.id]) for block in flow.blocks]
    said = [f"{point} at {name}" for point, name in points if point]
    return [_sentence(f"Test points: {_listed(said)}")] if said else []


def _states(flow: Flow, names: Mapping[str, str]) -> list[str]:
    sentences = []
    for state, word in _STATE_WORDS.items():
        standing = [names[block.id] for block in flow.blocks if block.state == state]
        if standing:
            sentences.append(_sentence(f"{word}: {_listed(standing)}"))
    return sentences


def _listed(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + "."
