"""A paper is a folder and a module: one is added to a copy of the program, and runs."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from tests.papers.pdf_checks import check_pdf
from tests.papers.samples import pages

ROOT = Path(__file__).resolve().parents[3]
PAGE = """{% extends "base/paper.html" %}
{% block title %}Notice{% endblock %}
{% block body %}
<h1>Notice</h1>
<p>{{ paper.text }}</p>
{{ part.integrity(paper.head) }}
{% endblock %}
"""
MODULE = '''"""A notice of a team."""

from dataclasses import dataclass

from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead
from ledger.papers.sheets.source import LeagueSource


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticePaper:
    head: PaperHead
    text: str


def notice_sheet(heads: Heads, team: str) -> Sheet:
    events = [one.event for one in heads.store.events(kind=["league", "team"])]
    source = LeagueSource(heads, events)
    paper = NoticePaper(head=source.head(), text=f"Picture day of {source.team_name(team)}.")
    return source.sheet("notice", paper, team=team)
'''
ROW = """
name = "notice to a team"

[team-notice]
maker = "team_notices.notice_sheet"
needs = ["team"]
label = "A notice of a team."
help = "A notice of TEAM."
"""


def test_a_paper_is_added(sample_ledger: Path, tmp_path: Path) -> None:
    for folder in ("ledger", "sql", "report_templates"):
        ignored = shutil.ignore_patterns("__pycache__")
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=ignored)
    added = tmp_path / "report_templates" / "notice"
    added.mkdir()
    (added / "page.html").write_text(PAGE)
    (added / "document.toml").write_text(ROW)
    (tmp_path / "ledger" / "papers" / "sheets" / "team_notices.py").write_text(MODULE)

    def weighbook(*words: str) -> str:
        return subprocess.run(
            [sys.executable, "-m", "ledger.commands", "--store", str(sample_ledger), *words],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(tmp_path)},
            check=True,
            capture_output=True,
            text=True,
        ).stdout

    assert "team-notice" in weighbook("print", "--help")
    assert weighbook("print", "team-notice", "newts", "--to", "notice.pdf") == "Wrote notice.pdf.\n"
    assert "Picture day of Glimmerfen Newts." in pages(tmp_path / "notice.pdf")[0]
    check_pdf(tmp_path / "notice.pdf")
    told = weighbook("check", "notice.pdf")
    assert "Notice to a team: team newts." in told
    assert "Verdict: the same, byte for byte." in told
