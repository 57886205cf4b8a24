"""What is said of a file that cannot be made anew."""

from __future__ import annotations


class NotPublishable(Exception):  # noqa: N818 - it says what it is
    """A file that holds what cannot be published; `what` follows its name in a sentence."""

    def __init__(self, what: str, advice: str) -> None:
        super().__init__(f"{what}; {advice}")
        self.what = what
        self.advice = advice
