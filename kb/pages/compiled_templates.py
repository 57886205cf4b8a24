"""Templates as Python has compiled them, kept where Python keeps its modules: in `__pycache__` beside them.

To compile those of one page takes longer than to make it. Who may not write there can put nothing in,
and whoever may could change the templates themselves. Whatever is wrong with one, it is compiled anew.
"""

from __future__ import annotations

import hashlib
import marshal
import os
import sys
import tempfile
from contextlib import suppress
from pathlib import Path

import jinja2
from jinja2.bccache import Bucket, BytecodeCache

FOLDER = Path(__file__).parent / "templates" / "__pycache__"


class BesideTemplates(BytecodeCache):
    """Keeps the code of each template of an environment that works nothing out while compiling."""

    def load_bytecode(self, bucket: Bucket) -> None:
        """Fill the bucket, if there is something for it that is whole."""
        with suppress(OSError):
            head, _, code = _place(bucket).read_bytes().partition(b"\n")
            if head == _head(bucket, code):
                bucket.code = marshal.loads(code)  # noqa: S302 - as Python does with its modules

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep what is in the bucket, whole or not at all; Python may have been told to write nothing."""
        if sys.dont_write_bytecode or sys.pycache_prefix is not None:
            return
        code = marshal.dumps(bucket.code)
        with suppress(OSError):
            FOLDER.mkdir(exist_ok=True)
            handle, beside = tempfile.mkstemp(dir=FOLDER)
            try:
                with os.fdopen(handle, "wb") as file:
                    file.write(_head(bucket, code) + b"\n" + code)
                Path(beside).replace(_place(bucket))
            finally:
                Path(beside).unlink(missing_ok=True)


def _head(bucket: Bucket, code: bytes) -> bytes:
    how = bucket.environment
    settings = (how.autoescape, how.trim_blocks, how.lstrip_blocks, how.keep_trailing_newline)
    told = f"{jinja2.__version__} {sys.version} {settings} {bucket.checksum} ".encode()
    return hashlib.sha256(told + code).hexdigest().encode()


def _place(bucket: Bucket) -> Path:
    return FOLDER / f"{bucket.key}.{sys.implementation.cache_tag}.pyc"
