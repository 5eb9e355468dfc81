"""`driftless.compare`: the document of a campaign."""

from __future__ import annotations

import pickle
import shutil
from pathlib import Path

import pytest
from conftest import DEMO, document, run, without_command
from test_report import told_by_the_program

import driftless

CAMPAIGN = "campaign/campaign.toml"


@pytest.fixture(scope="module")
def comparison() -> driftless.Comparison:
    return driftless.compare(DEMO / CAMPAIGN)


def test_the_document_is_that_of_the_program(comparison: driftless.Comparison) -> None:
    assert without_command(comparison) == without_command(document("compare", DEMO / CAMPAIGN))
    assert comparison["cells"] and comparison.failures == []
    assert comparison["made_by"]["command"] == "driftless.compare('campaign.toml')"


def test_page_text_and_charts_are_those_of_the_program(comparison: driftless.Comparison, tmp_path: Path) -> None:
    done = run("compare", DEMO / CAMPAIGN, "--format", "html", "--charts", tmp_path)
    assert told_by_the_program(comparison.html()) == told_by_the_program(done.stdout)
    text = run("compare", DEMO / CAMPAIGN, "--format", "text").stdout
    assert told_by_the_program(comparison.text()) == told_by_the_program(text)
    assert {name: svg for name, svg in comparison.charts().items()} == {
        path.stem: path.read_text() for path in tmp_path.iterdir()
    }


def test_one_thread_or_eight_give_the_same(comparison: driftless.Comparison) -> None:
    for jobs in (1, 8):
        assert driftless.compare(DEMO / CAMPAIGN, jobs=jobs) == comparison
    with pytest.raises(driftless.OptionError, match="1 or more"):
        driftless.compare(DEMO / CAMPAIGN, jobs=0)


def test_a_comparison_comes_whole_out_of_a_pickle(comparison: driftless.Comparison) -> None:
    back = pickle.loads(pickle.dumps(comparison))
    assert type(back) is driftless.Comparison and back == comparison and back.failures == comparison.failures
    assert back.html() == comparison.html() and repr(back) == repr(comparison)
    assert "<img" in back._repr_html_() and " id=" not in back._repr_html_()


def test_a_flight_that_cannot_be_read_does_not_stop_the_others(tmp_path: Path) -> None:
    campaign = shutil.copytree(DEMO / "campaign", tmp_path / "campaign")
    (campaign / "logs/bare-fenlark-1.igc").write_bytes(b"\x89PNG\r\n\x1a\nno log at all")
    comparison = driftless.compare(campaign / "campaign.toml")
    (failure,) = comparison.failures
    assert "bare-fenlark-1.igc" in failure and comparison["cells"]
    done = run("compare", campaign / "campaign.toml", "--format", "text")
    assert done.returncode == 2 and failure in done.stderr


def test_pilots_stay_without_names_where_that_is_asked() -> None:
    anonymous = driftless.compare(DEMO / CAMPAIGN, anonymous=True)
    expected = document("compare", DEMO / CAMPAIGN, "--anonymous")
    assert without_command(anonymous) == without_command(expected)


def test_a_faulty_campaign_file_is_refused_with_every_fault(tmp_path: Path) -> None:
    faulty = tmp_path / "faulty.toml"
    faulty.write_text('title = "x"\n[wings.a]\nnme = "A"\n[setups.b]\nwong = 1\n')
    with pytest.raises(driftless.CampaignError) as refused:
        driftless.compare(faulty)
    error = refused.value
    assert error.place == (str(faulty), 3) and "faulty.toml:3:" in str(error) and "faulty.toml:5:" in str(error)
    assert str(error) in run("compare", faulty).stderr
