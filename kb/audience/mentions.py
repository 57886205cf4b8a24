"""Which jobs a text can mean at all, found without going through all jobs for each text.

A shop has thousands of jobs, and `halfsplit check` holds the words of each against all others. Who is found
here may be meant; whether it is so is for `kb.audience.telling` to say.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator

from kb.reading import Located
from kb.records import Job


class Mentions:
    """Ids, last figures of serials and words of customers' references, by their length."""

    def __init__(self, jobs: Iterable[Located[Job]]) -> None:
        self._jobs = {job.id: job for job in jobs}
        self._by_length: dict[int, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
        for job in self._jobs.values():
            for each in marks_of(job):
                self._by_length[len(each)][each].append(job.id)

    def possible(self, letters: str) -> list[Located[Job]]:
        """The jobs of which a mark stands in `letters`, in the shop's order."""
        found: set[str] = set()
        for length, marks in self._by_length.items():
            pieces = {letters[at : at + length] for at in range(len(letters) - length + 1)}
            for each in pieces & marks.keys():
                found.update(marks[each])
        return [job for identifier, job in self._jobs.items() if identifier in found]


def marks_of(job: Located[Job]) -> Iterator[str]:
    """What has to stand among the letters of a text that means this job."""
    yield letters_of(job.id)
    yield last_figures(job.record.serial)
    yield from map(letters_of, (job.record.customer or "").split())


def letters_of(text: str) -> str:
    """A text without anything but small letters and digits."""
    return re.sub(r"[\W_]", "", text.lower())


def last_figures(serial: str) -> str:
    """The figures a serial ends with, without noughts before them."""
    return re.sub(r".*?0*([0-9]*)\Z", r"\1", serial, flags=re.DOTALL)
