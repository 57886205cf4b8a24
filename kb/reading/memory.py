"""What this process read before: files that are read again and again, as while serving, cost nothing then.

It is bounded, and drops what was asked for longest ago.
"""

from __future__ import annotations

import threading
from collections.abc import Hashable
from typing import Generic, TypeVar

Value = TypeVar("Value")


class Memory(Generic[Value]):
    """The last `most` values, by keys that tell all that they depend on; safe between threads."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._values: dict[Hashable, Value] = {}
        self._lock = threading.Lock()

    def get(self, key: Hashable) -> Value | None:
        """The value under that key, if it is still here."""
        with self._lock:
            value = self._values.pop(key, None)
            if value is not None:
                # Asked for last, so it goes last.
                self._values[key] = value
            return value

    def put(self, key: Hashable, value: Value) -> None:
        """Remember a value."""
        with self._lock:
            self._values[key] = value
            if len(self._values) > self._most:
                del self._values[next(iter(self._values))]

    def clear(self) -> None:
        """Forget all of them."""
        with self._lock:
            self._values.clear()
