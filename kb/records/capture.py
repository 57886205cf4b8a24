"""A capture that a record names: which file, which channel, and what it is held against."""

from __future__ import annotations

from pydantic import Field, model_validator

from kb.records.fields import Line, Whole, Written


class NamedCapture(Written):
    """A capture to be shown and measured. A plain file name stands for `file: name`."""

    file: Line = Field(description="its name under captures/")
    about: Line | None = Field(None, description="what it shows, such as TP13 before the cure")
    channel: Whole = 1
    needs: Line | None = Field(
        None,
        description="the input that this pulse has to work, as model/port; the page tells whether it does",
    )

    @model_validator(mode="before")
    @classmethod
    def _plain_name(cls, value: object) -> object:
        return {"file": value} if isinstance(value, str) else value
