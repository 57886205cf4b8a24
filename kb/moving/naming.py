"""Which record a name in a table means: one that is written so, or none and a suggestion."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from kb.moving.cell_values import Doubtful
from kb.problems import did_you_mean
from kb.records import Block, Model, Part
from kb.wording.folding import fold


def key_of(name: str) -> str:
    """A name as it is compared: without case, accents, hyphens and spaces."""
    return "".join(key_words(name))


def key_words(name: str) -> list[str]:
    """The words of a name without case and accents."""
    return re.findall(r"[^\W_]+", fold(name))


def names_of_model(identifier: str, model: Model) -> tuple[str, ...]:
    """How people write a model."""
    return (identifier, model.name, f"{model.maker} {model.name}")


def names_of_block(block: Block) -> tuple[str, ...]:
    """How people write a block."""
    return (block.id, block.name)


def names_of_part(identifier: str, part: Part) -> tuple[str, ...]:
    """How people write a part."""
    return (identifier, part.name)


def meant(what: str, name: str, known: Mapping[str, Iterable[str]]) -> str:
    """The id that `name` stands for in `known`, ids with their names; raises Doubtful with a suggestion."""
    found = [identifier for identifier, names in known.items() if key_of(name) in map(key_of, names)]
    if len(found) == 1:
        return found[0]
    if found:
        raise Doubtful(f'"{name[:60]}" may be any {what} of {", ".join(found)}')
    every = [each for names in known.values() for each in names]
    raise Doubtful(f'there is no {what} "{name[:60]}"; {did_you_mean(name, every)}')
