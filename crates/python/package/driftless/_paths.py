"""What is handed in: paths and contents."""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import BinaryIO, Union

#: A file by its path, or what would stand in it: bytes, or a file that is open for bytes.
Given = Union[str, "os.PathLike[str]", bytes, bytearray, memoryview, BinaryIO]


def told(given: object) -> str:
    """How something that was handed in is named in the line that says how a document was made: paths without their folders,
    because a document is passed on, and where its maker keeps files is nobody's business."""
    if isinstance(given, (list, tuple)):
        return "[" + ", ".join(told(one) for one in given) + "]"
    if isinstance(given, os.PathLike):
        given = os.fspath(given)
    if isinstance(given, str):
        return repr(given.rstrip("/\\").replace("\\", "/").rsplit("/", 1)[-1])
    if isinstance(given, (bytes, bytearray, memoryview)):
        return f"<{len(given)} bytes>"
    return f"<{type(given).__name__}>"


def call(function: str, first: object, files: Mapping[str, object], words: Mapping[str, object]) -> str:
    """The call as it is told in documents: what was left out is not told."""
    told_files = [f"{name}={told(given)}" for name, given in files.items() if given is not None]
    told_words = [f"{name}={word!r}" for name, word in words.items() if word is not None]
    return f"driftless.{function}({', '.join([told(first), *told_files, *told_words])})"
