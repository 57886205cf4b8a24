"""The theme's templates as Python has compiled them, kept in memory for a server that builds again and again.

MkDocs makes a new environment for each build, which compiles them all anew.
"""

from __future__ import annotations

from jinja2.bccache import Bucket, BytecodeCache


class Compiled(BytecodeCache):
    """Each template's code, as long as its source is the same; that, Jinja looks after."""

    def __init__(self) -> None:
        self._kept: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Fill the bucket, if there is something for it."""
        found = self._kept.get(bucket.key)
        if found is not None:
            bucket.bytecode_from_string(found)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep what is in the bucket."""
        self._kept[bucket.key] = bucket.bytecode_to_string()


COMPILED = Compiled()
