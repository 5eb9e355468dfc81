"""Reports of flights and campaigns: documents as dictionaries, with pages, charts and text beside them."""

from __future__ import annotations

import json
import os
import shutil
import zlib
from collections.abc import Mapping, Sequence
from typing import Any, Protocol, TypeVar

from . import _native
from ._paths import Given, call

_COLUMNS = 80


class _Analysis(Protocol):
    """What reports are made from: an analysis in memory, or what was made of one before it was pickled."""

    def html(self) -> str: ...
    def piece(self) -> str: ...
    def words(self) -> str: ...
    def brief(self, width: int) -> str: ...
    def charts(self) -> list[tuple[str, str]]: ...


class _Flight:
    """An analysed flight in memory."""

    def __init__(self, flight: _native.Flight) -> None:
        self.html, self.piece, self.words = flight.html, flight.piece, flight.text
        self.brief, self.charts = flight.brief, flight.charts


class _Campaign:
    """An analysed campaign in memory."""

    def __init__(self, campaign: _native.Campaign) -> None:
        self.html, self.piece, self.brief = campaign.html, campaign.piece, campaign.brief
        self.charts, self._text = campaign.charts, campaign.text

    def words(self) -> str:
        return self._text(_COLUMNS)


class _Rendered:
    """All that can be made of an analysis, made: what is left of it in another process or on another day."""

    def __init__(self, made: dict[str, Any]) -> None:
        self._made = made

    def html(self) -> str:
        return str(self._made["html"])

    def piece(self) -> str:
        return str(self._made["piece"])

    def words(self) -> str:
        return str(self._made["text"])

    def brief(self, width: int) -> str:
        del width  # Lines were broken when it was made.
        return str(self._made["brief"])

    def charts(self) -> list[tuple[str, str]]:
        return [(name, svg) for name, svg in self._made["charts"]]


def _packed(of: _Analysis) -> bytes:
    made = {
        "html": of.html(),
        "piece": of.piece(),
        "text": of.words(),
        "brief": of.brief(_COLUMNS),
        "charts": of.charts(),
    }
    return zlib.compress(json.dumps(made, ensure_ascii=False).encode())


_Document = TypeVar("_Document", bound="_Reported")


class _Reported(dict[str, Any]):
    """A document with what else is made of the same analysis."""

    _of: _Analysis

    def html(self) -> str:
        """The page: one file that needs nothing else, with charts, to open from disk and to print."""
        return self._of.html()

    def charts(self) -> dict[str, str]:
        """Each chart by its id, in the order of the page, as an SVG file that stands alone."""
        return dict(self._of.charts())

    def text(self) -> str:
        """All figures in words."""
        return self._of.words()

    def brief(self, width: int | None = None) -> str:
        """The first screen in words, in lines of so many characters (as wide as the terminal)."""
        return self._of.brief(width or shutil.get_terminal_size((_COLUMNS, 24)).columns)

    def save(self, path: str | os.PathLike[str]) -> None:
        """Writes the page to a file: whole, or not at all."""
        _write_whole(path, self.html())

    def __str__(self) -> str:
        return self.brief()

    def __repr__(self) -> str:
        return self.brief(_COLUMNS)

    def _repr_html_(self) -> str:
        return self._of.piece()

    def _repr_mimebundle_(self, **kinds: object) -> dict[str, str]:
        # A dictionary would be shown as one; this is how a notebook is told otherwise.
        return {"text/html": self._repr_html_(), "text/plain": repr(self)}

    def __reduce__(self) -> tuple[Any, ...]:
        return _restored, (type(self), json.dumps(self, ensure_ascii=False), _packed(self._of), self._extra())

    def _extra(self) -> dict[str, Any]:
        return {}


def _restored(kind: type[_Document], document: str, packed: bytes, extra: dict[str, Any]) -> _Document:
    restored = kind(json.loads(document))
    restored._of = _Rendered(json.loads(zlib.decompress(packed)))
    vars(restored).update(extra)
    return restored


def _write_whole(path: str | os.PathLike[str], text: str) -> None:
    whole = os.fspath(path)
    part = f"{whole}.{os.getpid()}.part"
    try:
        with open(part, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.replace(part, whole)
    except BaseException:
        if os.path.exists(part):
            os.remove(part)
        raise


class Report(_Reported):
    """The report of one log.

    A dictionary: the document `driftless/flight-report/1`, as `driftless report --format json` prints it, so that
    `report["windows"][0]["turn_rate"]["value_deg_s"]` is a number or `None`. A log with no usable window gives a document
    like any other, whose windows say why.
    """


class Comparison(_Reported):
    """The comparison of a campaign.

    A dictionary: the document `driftless/campaign-report/1`, as `driftless compare --format json` prints it. `failures` says
    which files of its flights could not be read or used; the rest is compared without them.
    """

    failures: list[str]

    def _extra(self) -> dict[str, Any]:
        return {"failures": self.failures}


def report(
    log: Given,
    *,
    marks: Given | None = None,
    imu: Given | Sequence[Given] | None = None,
    csv_map: Given | None = None,
    units: str | None = None,
    name: str | None = None,
    limits: Mapping[str, int] | None = None,
) -> Report:
    """Reports one log (GPX, IGC, NMEA 0183, CSV positions; plain or gzip-ed).

    `log`: a path, or the contents as bytes; a file that is open for bytes will do. `marks`: times of let-go and take-over, a
    CSV file with header `let_go,take_over,scenario,setup,note`. `imu`: inertial files recorded beside it. `csv_map`: the
    column mapping of a CSV log with other column names. `units`: those of pages, charts and text ("si", "kmh", "kt", or a list
    such as "km/h,m,deg/s"); the document is in SI units whatever they are. `name`: what the log goes by. `limits`: more or less
    to be read than is usual, by the names of `driftless --limit`.

    Raises `DriftlessError` where the program refuses the log or a file beside it (`LogError`, `NoTrackError`, `MarksError`,
    `MappingError`, `FileError`).
    """
    files = {"marks": marks, "imu": imu, "csv_map": csv_map}
    flight = _native.analyse(
        log,
        name=name,
        marks=marks,
        imu=list(imu) if isinstance(imu, Sequence) and not isinstance(imu, _CONTENTS) else imu,
        csv_map=csv_map,
        units=units,
        limits=None if limits is None else dict(limits),
        command=call("report", log, files, {"units": units, "name": name, "limits": limits}),
    )
    made = Report(json.loads(flight.json()))
    made._of = _Flight(flight)
    return made


#: What looks like a list of inertial files, and is one.
_CONTENTS = (str, bytes, bytearray, memoryview)


def compare(
    campaign: str | os.PathLike[str],
    *,
    units: str | None = None,
    jobs: int | None = None,
    anonymous: bool = False,
    limits: Mapping[str, int] | None = None,
) -> Comparison:
    """Compares the set-ups of a campaign file; its flights are analysed side by side.

    `units`: those of pages, charts and text. `jobs`: threads (one for each core). `anonymous`: pilots without their names.

    Raises `CampaignError` where the campaign file cannot be used, with every fault and its line. A flight that cannot be read
    does not stop the others: it stands in `failures`, and the document says what was left out.
    """
    words: dict[str, object] = {"units": units, "anonymous": anonymous or None, "limits": limits}
    analysed = _native.compare(
        campaign,
        units=units,
        jobs=jobs,
        anonymous=anonymous,
        limits=None if limits is None else dict(limits),
        command=call("compare", campaign, {}, words),
    )
    made = Comparison(json.loads(analysed.json()))
    made._of = _Campaign(analysed)
    made.failures = analysed.failures
    return made
