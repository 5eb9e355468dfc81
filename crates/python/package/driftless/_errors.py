"""Why a call gives no result. The words are those of the program."""

from __future__ import annotations

from typing import Any, NamedTuple


class Place(NamedTuple):
    """Where a fault is: the file by its name as given, and its line where that is known."""

    file: str
    line: int | None = None


class DriftlessError(Exception):
    """A call gives no result.

    `str(error)` says what is wrong, where, and what to do, in the words of the program. `code` is a short name of the kind
    that stays as it is, `place` the file and line at fault, `help` what to do about it; each of these is `None` where it is
    not known.
    """

    def __init__(
        self,
        message: str,
        *,
        code: str | None = None,
        place: tuple[str, int | None] | None = None,
        help: str | None = None,
    ) -> None:
        super().__init__(message)
        self.message = message
        self.code = code
        self.place = None if place is None else Place(*place)
        self.help = help

    def __str__(self) -> str:
        return self.message

    def __reduce__(self) -> tuple[Any, ...]:
        # So that it comes whole out of another process.
        return _restored, (type(self), self.message, self.code, self.place, self.help)


def _restored(
    kind: type[DriftlessError], message: str, code: str | None, place: Place | None, help: str | None
) -> DriftlessError:
    return kind(message, code=code, place=place, help=help)


class FileError(DriftlessError, OSError):
    """A file that is not there, cannot be read, is too large or is no text. (An `OSError`, as those of Python are.)"""


class LogError(DriftlessError, ValueError):
    """The log is none, is damaged beyond use, or is dated so that its times cannot be trusted."""


class NoTrackError(DriftlessError, ValueError):
    """The log was read and holds no track: too few fixes, or nothing moves. (The program ends with 1 there.)"""


class MarksError(DriftlessError, ValueError):
    """The marks file cannot be used; nothing of a faulty one is, because a wrong time gives a wrong turn rate."""


class MappingError(DriftlessError, ValueError):
    """The column mapping cannot be used."""


class CampaignError(DriftlessError, ValueError):
    """The campaign file cannot be used; the message lists every fault with its line."""


class FitError(DriftlessError, ValueError):
    """The data do not determine the fit."""


class OptionError(DriftlessError, ValueError):
    """An argument that is none: a unit, a limit, a number of threads."""
