"""A laptop without the typesetter and its libraries: a whole morning works, only a PDF does not."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path
from urllib.request import Request, urlopen

import orjson
import pytest

from tests.tiny import write_folder

WORDS = "invented words for a test"
BROKEN = {
    "weasyprint": "raise OSError('cannot load library libpango-1.0-0')",
    "pydyf": "raise ImportError('DLL load failed')",
    "pikepdf": "raise ImportError('DLL load failed')",
}


class Laptop:
    """Commands in processes of their own, in which the packages of BROKEN cannot be imported."""

    def __init__(self, folder: Path) -> None:
        for package, text in BROKEN.items():
            (folder / "broken" / package).mkdir(parents=True)
            (folder / "broken" / package / "__init__.py").write_text(f"{text}\n")
        here = str(Path(__file__).resolve().parents[2])
        path = os.pathsep.join([str(folder / "broken"), here])
        self.ledger = folder / "season.weighbook"
        self._env = os.environ | {"PYTHONPATH": path, "PYTHONUNBUFFERED": "1"}

    def begin(self, *words: str) -> subprocess.Popen[str]:
        command = [sys.executable, "-m", "ledger.commands", *words, "--store", str(self.ledger)]
        return subprocess.Popen(
            command, env=self._env, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
        )

    def run(self, *words: str, status: int = 0) -> str:
        process = self.begin(*words)
        said, _ = process.communicate()
        assert process.returncode == status, said
        return said


@pytest.fixture
def laptop(tmp_path: Path) -> Laptop:
    laptop = Laptop(tmp_path)
    laptop.run("load", str(write_folder(tmp_path / "season")))
    (tmp_path / "words.txt").write_text(WORDS)
    laptop.run("enroll", "wa", "--by", "rg", "--passphrase-file", str(tmp_path / "words.txt"))
    return laptop


def test_it_loads_records_and_signs_and_says_what_a_pdf_needs(
    laptop: Laptop, tmp_path: Path
) -> None:
    weigh = ("--game", "g1", "--team", "elm", "--number", "1", "--by", "wa", "--value", "ok")
    assert "ok" in laptop.run("record", "weigh", *weigh)
    given = (
        "--by",
        "wa",
        "--passphrase-file",
        str(tmp_path / "words.txt"),
        "--despite",
        "unaccounted",
    )
    assert "office:" in laptop.run("sign", "g1", "elm", *given)
    laptop.run("audit")
    said = laptop.run("print", "list", "g1", "elm", "--to", str(tmp_path / "list.pdf"), status=2)
    assert "PDFs need the Pango library, which is not installed" in said
    assert "Debian: libpango-1.0-0" in said
    assert "weighbook serve" in said
    assert "Traceback" not in said
    assert not (tmp_path / "list.pdf").exists()


def test_it_serves_the_page_and_its_papers(laptop: Laptop) -> None:
    process = laptop.begin("serve", "--port", "0")
    try:
        url, said, code = "", "", [""]
        assert process.stdout is not None
        for line in process.stdout:
            said += line
            if found := re.search(r"http://127\.0\.0\.1:\d+", line):
                url = found[0]
            if code := re.findall(r"\b\d{6}\b", line):
                break
        assert url, said
        browser = _Browser(url)
        assert b"<main" in browser.get("/")
        browser.post("/api/sign-in", {"official": "wa"})
        browser.post("/api/confirm", {"official": "wa", "terminal": code[-1]})
        page = browser.get("/print/list/g1/elm").decode()
        assert "Ineligible list: Elm Trees" in page
        assert "Weigh-in by hand" in browser.get("/print/blank-list/elm").decode()
    finally:
        process.kill()
        process.communicate()


class _Browser:
    """Keeps its cookie, sends token and origin."""

    def __init__(self, url: str) -> None:
        self._url, self._cookie = url, ""

    def get(self, path: str) -> bytes:
        return self._ask(Request(self._url + path))

    def post(self, path: str, body: dict[str, str]) -> bytes:
        token = orjson.loads(self.get("/api/me"))["token"]
        headers = {"Origin": self._url, "X-Weighbook-Token": token}
        headers |= {"Content-Type": "application/json"}
        return self._ask(Request(self._url + path, orjson.dumps(body), headers))

    def _ask(self, request: Request) -> bytes:
        request.add_header("Cookie", self._cookie)
        with urlopen(request) as answer:
            if given := answer.headers.get("Set-Cookie"):
                self._cookie = given.partition(";")[0]
            content: bytes = answer.read()
            return content
