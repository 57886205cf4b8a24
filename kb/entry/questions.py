"""What the entry form asks and is answered: plain JSON in and out; a bad question gets a refusal in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from kb.cli.drafting import Bench
from kb.entry import files
from kb.entry.choices import choices_of
from kb.entry.draft import Draft, drafted, opened
from kb.entry.files import NotAllowed
from kb.entry.judging import Told
from kb.entry.shapes import KINDS, as_json, shape_of
from kb.pages.addresses import address
from kb.reading import read_folder
from kb.reading.folder import CARD

Asked = Mapping[str, Any]
Said = dict[str, Any]


def questions(root: Path) -> dict[str, Callable[[Asked], Said]]:
    """Every question of the form, by name, about the shop in `root`."""
    made = {"entry/open": _open, "entry/check": _check, "entry/show": _show, "entry/write": _write}
    return {name: _answering(root, each) for name, each in made.items()}


def _answering(root: Path, answer: Callable[[Path, Asked], Said]) -> Callable[[Asked], Said]:
    def answered(asked: Asked) -> Said:
        try:
            if not (root / CARD).is_file():
                raise NotAllowed(f"{CARD} is missing; the form needs a shop folder that can be read")
            return answer(root, asked)
        except NotAllowed as stop:
            return {"refused": str(stop)}

    return answered


def _open(root: Path, asked: Asked) -> Said:
    """The form of a kind of record, with the values of a record that is there if one is named."""
    kind, folder = _kind(asked), read_folder(root)[0]
    said: Said = {"shape": as_json(shape_of(kind)), "choices": choices_of(folder), "values": {}, "state": ""}
    if asked.get("id"):
        said.update(opened(root, kind, _text(asked, "id")))
    elif kind == "job":
        said["next"] = (
            Bench(root).next_job(int(_text(asked, "year"))) if _text(asked, "year").isdecimal() else ""
        )
    return said


def _check(root: Path, asked: Asked) -> Said:
    """What would be wrong with the record."""
    return _judgement(_draft(root, asked))


def _show(root: Path, asked: Asked) -> Said:
    """What would be written, and what would be wrong with it."""
    draft = _draft(root, asked)
    return {
        **_judgement(draft), "file": draft.at.file, "text": draft.difference, "shown": draft.shown,
        "isNew": draft.at.data is None, "isSame": draft.data == draft.at.data,
    }  # fmt: skip


def _write(root: Path, asked: Asked) -> Said:
    """Write it: only what was shown, only over what it was shown for, and only if nothing is wrong."""
    draft = _draft(root, asked)
    if draft.problems:
        return _judgement(draft)
    if _text(asked, "shown") != draft.shown:
        raise NotAllowed("this is not what was shown; look at it again")
    files.write(root, draft.at, draft.data)
    kind = _kind(asked)
    return {**_judgement(draft), "written": draft.at.file, "page": address(kind, _text(asked, "id"))}


def _draft(root: Path, asked: Asked) -> Draft:
    kind, state = _kind(asked), _text(asked, "state")
    made = drafted(root, kind, _text(asked, "id"), is_new=not state, values=asked.get("values"))
    if made.at.state != state:
        raise NotAllowed(f'"{made.at.file}" was changed meanwhile; load it again')
    return made


def _judgement(draft: Draft) -> Said:
    return {"problems": _lines(draft.problems), "disagreements": _lines(draft.disagreements)}


def _lines(told: Told) -> list[dict[str, str]]:
    return [
        {"line": str(each), "field": path, "what": f"{each.what}{f'; {each.advice}' if each.advice else ''}"}
        for each, path in told
    ]


def _kind(asked: Asked) -> str:
    kind = _text(asked, "kind")
    if kind not in KINDS:
        raise NotAllowed(f"a record is one of {', '.join(KINDS)}")
    return kind


def _text(asked: Asked, key: str) -> str:
    value = asked.get(key, "")
    return value if isinstance(value, str) else ""
