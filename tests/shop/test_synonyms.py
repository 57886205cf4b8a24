"""What a shop may write into its synonyms, and what it is told when it writes something else."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.records.synonyms import MOST_OWN_GROUPS, MOST_PHRASES
from tests.benches import copied, found_in, loaded, small_shop

LONG_GROUP = ", ".join(f"w{number}" for number in range(MOST_PHRASES + 1))
MANY_GROUPS = "".join(f"  - [l{number}, r{number}]\n" for number in range(MOST_OWN_GROUPS + 1))


def told(folder: Path, text: str, name: str = "synonyms.yml") -> list[str]:
    return found_in(copied(folder / "shop", {name: text}))


def test_a_shop_need_not_have_any() -> None:
    assert small_shop().synonyms == ()


def test_a_shop_has_its_own(tmp_path: Path) -> None:
    text = "groups:\n  - [zwirbles, frumps]\n  - [yes, maybe, 'on: off']\n"
    shop = loaded(copied(tmp_path / "shop", {"synonyms.yml": text}))
    assert shop.synonyms == (("zwirbles", "frumps"), ("yes", "maybe", "on: off"))


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ("groups:\n  - [hum, buzz]\n  - [rattles, hums]\n", "3:15", '"hums" stands in a group before'),
        ("groups:\n  - [does not start, dead]\n  - [x1, doesn't start]\n", "3:10", "it is in line 2"),
        ("groups:\n  - [hum]\n", "2:5", "the group has nothing that means the same"),
        ("groups:\n  - []\n", "2:5", "the group has nothing that means the same"),
        ("groups:\n  - [hum, hums, humming]\n", "2:5", "the group has nothing that means the same"),
        ("groups: []\n", "1:9", '"groups" needs at least one item'),
        ("groups: hum\n", "1:9", '"groups" is a list'),
        ("groups:\n  - hum\n", "2:5", "is a list"),
        ("groups:\n  - [hum, {a: b}]\n", "2:11", "a single text is expected here"),
        (f"groups:\n  - [hum, {'x' * 61}]\n", "2:11", "a phrase of 61 characters"),
        ("groups:\n  - [hum, one two three four five six seven]\n", "2:11", "a phrase of 7 words"),
        ("groups:\n  - [hum, of the]\n", "2:11", '"of the" holds no word to search for'),
        ("groups:\n  - [hum, not]\n", "2:11", '"not" holds no word to search for'),
        ("groups:\n  - [hum, '***']\n", "2:11", "holds no word to search for"),
        ("groups:\n  - [hum, buzz]\n  -\n", "3:4", "this item has no value"),
        ("group:\n  - [hum, buzz]\n", "1:1", '"group" is not a key here'),
        ("- [hum, buzz]\n", "1:1", "the file is a list or a text"),
        ("groups: &a [[hum, buzz]]\n", "1:9", "names a value to repeat"),
        ("", "1:1", "the file holds no record"),
        (f"groups:\n  - [{LONG_GROUP}]\n", "2:5", "a group of 61 phrases"),
        (f"groups:\n{MANY_GROUPS}", "2:3", "301 groups"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_its_place(tmp_path: Path, text: str, place: str, words: str) -> None:
    lines = told(tmp_path, text)
    assert any(line.startswith(f"synonyms.yml:{place}: ") and words in line for line in lines), lines


@pytest.mark.parametrize("name", ["synonym.yml", "Synonyms.yml", "synonyms.yaml"])
def test_a_file_that_is_nearly_called_so_is_not_passed_over(tmp_path: Path, name: str) -> None:
    assert told(tmp_path, "groups: []", name) == [
        f'{name}:1:1: this file is not read; rename it to "synonyms.yml"'
    ]
