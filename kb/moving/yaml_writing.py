"""What a record says, written as the file a person would keep: one key a line, prose as blocks.

Every text is written so that the reader gives it back as it was; what is no text to YAML gets quotes.
"""

from __future__ import annotations

from typing import Any

import yaml

from kb.records import Guide, Written


class _Dumper(yaml.SafeDumper):
    """PyYAML's own, with lists indented under their key and texts of several lines as blocks."""

    def increase_indent(self, flow: bool = False, indentless: bool = False) -> None:
        """Lists stand two columns in, as in the templates."""
        del indentless
        super().increase_indent(flow, False)

    def ignore_aliases(self, data: Any) -> bool:
        """The reader refuses aliases."""
        del data
        return True


def _text(dumper: yaml.SafeDumper, text: str) -> yaml.ScalarNode:
    style = "|" if "\n" in text else None
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style=style)


_Dumper.add_representer(str, _text)


def record_text(kind: type[Written], says: dict[str, Any]) -> str:
    """The file of a record of that kind."""
    if kind is Guide:
        head, body = says.get("head", {}), says.get("body", "")
        return f"---\n{_yaml(head)}---\n{body}" if isinstance(body, str) else _yaml(says)
    return _yaml(says)


def _yaml(value: Any) -> str:
    return yaml.dump(
        value,
        Dumper=_Dumper,
        allow_unicode=True,
        sort_keys=False,
        default_flow_style=False,
        width=float("inf"),
    )
