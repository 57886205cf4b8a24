"""How well a word on a page meets a word that was asked for: itself, another form, a beginning, a slip.

Endings are taken off here, when the question is asked, and never in the index: what was written stays
findable as it was written.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.wording.stems import stem

EXACT, OTHER_FORM, BEGINNING, RELATED, MISTYPED = 8, 6, 4, 2, 1

_SHORTEST_BEGINNING = 2
_SHORTEST_STEM_AS_BEGINNING = 4
_SHORTEST_MISTYPED = 4
_SHORTEST_MISTYPED_BEGINNING = 5


@dataclass(frozen=True)
class Wanted:
    """One spelling of a word that was asked for, with its stem; part numbers and values have none."""

    word: str
    stem: str

    @classmethod
    def of(cls, word: str) -> Wanted:
        """`word` as it is looked for."""
        return cls(word, stem(word) if word.isalpha() else word)

    def met_by(self, term: str) -> int:
        """How well `term` answers, 0 for not at all."""
        if term == self.word:
            return EXACT
        if self._is_other_form(term):
            return OTHER_FORM
        if len(self.word) >= _SHORTEST_BEGINNING and term.startswith(self.word):
            return BEGINNING
        if len(self.stem) >= _SHORTEST_STEM_AS_BEGINNING and term.startswith(self.stem):
            return RELATED
        return 0

    def may_mean(self, term: str) -> int:
        """MISTYPED where one slip of the finger parts the two, else 0. Digits are taken as meant."""
        if len(self.word) < _SHORTEST_MISTYPED or not self.word.isalpha() or term[0] != self.word[0]:
            return 0
        slipped = (
            one_slip_apart(self.word, term)
            or (len(self.stem) >= _SHORTEST_MISTYPED and one_slip_apart(self.stem, stem(term)))
            or (
                len(self.word) >= _SHORTEST_MISTYPED_BEGINNING
                and one_slip_apart(self.word, term[: len(self.word)])
            )
        )
        return MISTYPED if slipped else 0

    def _is_other_form(self, term: str) -> bool:
        same = self.stem != self.word or term.startswith(self.word)
        return same and stem(term) == self.stem and not _differ_by_silent_e(self.word, term, self.stem)


def one_slip_apart(first: str, second: str) -> bool:
    """Whether one letter too many, too few or wrong, or two letters swapped, make one from the other."""
    if first == second or abs(len(first) - len(second)) > 1:
        return False
    longer, shorter = (first, second) if len(first) >= len(second) else (second, first)
    at = next((place for place, letter in enumerate(shorter) if letter != longer[place]), len(shorter))
    if len(longer) > len(shorter):
        return longer[at + 1 :] == shorter[at:]
    swapped = longer[at : at + 2] == shorter[at : at + 2][::-1] and longer[at + 2 :] == shorter[at + 2 :]
    return swapped or longer[at + 1 :] == shorter[at + 1 :]


def _differ_by_silent_e(first: str, second: str, base: str) -> bool:
    """`tap` and `tape` share a stem but are two things; `switch` and `switches` are one."""
    shorter, longer = sorted((first, second), key=len)
    if shorter != base or base[-1] in "hosxz":
        return False
    return longer in {base + "e", base + "es"}
