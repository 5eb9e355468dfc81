"""Folders and buckets: anything that pyarrow or fsspec has a file system for."""

from __future__ import annotations

import os
from dataclasses import dataclass
from functools import cached_property
from posixpath import join
from typing import Any

import pyarrow
import pyarrow.fs as fs
import pyarrow.parquet as parquet


@dataclass(frozen=True)
class Place:
    """A folder by its path or address; small, so that it is sent to workers, which open it themselves."""

    address: str

    @cached_property
    def _opened(self) -> tuple[Any, str]:
        if "://" not in self.address:
            return fs.LocalFileSystem(), os.path.abspath(self.address)
        try:
            system, path = fs.FileSystem.from_uri(self.address)
        except (pyarrow.ArrowInvalid, pyarrow.ArrowNotImplementedError):
            # A kind that pyarrow does not know: fsspec may.
            import fsspec  # type: ignore[import-untyped, import-not-found, unused-ignore]

            found, path = fsspec.core.url_to_fs(self.address)
            system = fs.PyFileSystem(fs.FSSpecHandler(found))
        return system, str(path)

    def __getstate__(self) -> dict[str, str]:
        return {"address": self.address}

    def __setstate__(self, state: dict[str, str]) -> None:
        self.__dict__.update(state)

    def files(self, below: str = "") -> dict[str, int]:
        """Every file below a folder, by its path from here, with its size; nothing where the folder is not there."""
        system, base = self._opened
        found = system.get_file_info(fs.FileSelector(join(base, below), recursive=True, allow_not_found=True))
        start = len(base.rstrip("/")) + 1
        return {info.path[start:]: info.size for info in found if info.type == fs.FileType.File}

    def is_there(self) -> bool:
        """Whether it is a folder."""
        system, base = self._opened
        return bool(system.get_file_info(base).type == fs.FileType.Directory)

    def read(self, path: str) -> bytes:
        """A file."""
        system, base = self._opened
        # As it is: what is gzip-ed is unpacked within limits, and its hash is that of the file.
        with system.open_input_stream(join(base, path), compression=None) as stream:
            return bytes(stream.read())

    def write(self, path: str, content: bytes) -> None:
        """A file, whole or not at all; one of that name is replaced."""
        system, base = self._opened
        whole = join(base, path)
        if isinstance(system, fs.LocalFileSystem):
            os.makedirs(os.path.dirname(whole), exist_ok=True)
            part = f"{whole}.{os.getpid()}.part"
            with open(part, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            os.replace(part, whole)
            return
        # A bucket shows an object when it is complete.
        system.create_dir(os.path.dirname(whole), recursive=True)
        with system.open_output_stream(whole, compression=None) as stream:
            stream.write(content)

    def remove(self, path: str) -> None:
        """Takes a file away."""
        system, base = self._opened
        system.delete_file(join(base, path))

    def write_table(self, path: str, table: pyarrow.Table) -> None:
        """A Parquet file, whole or not at all."""
        sink = pyarrow.BufferOutputStream()
        parquet.write_table(table, sink, compression="zstd")
        self.write(path, sink.getvalue().to_pybytes())

    def read_table(self, path: str, columns: list[str]) -> pyarrow.Table:
        """Columns of a Parquet file."""
        system, base = self._opened
        return parquet.read_table(join(base, path), filesystem=system, columns=columns, partitioning=None)
