"""Run commands one after the other, each in a process and on a terminal of its own.

    python -m tests.on_a_terminal FOLDER < lines > outcomes

A line is a command line, an outcome (JSON) its exit status and what the terminal showed; the first
failure is the last outcome. Every passphrase and every question is answered. The processes are
forks of this one, which has imported the program and done nothing else; the first line, and what
is not for `weighbook` alone, goes to a shell.
"""

from __future__ import annotations

import gc
import json
import os
import pkgutil
import pty
import re
import shlex
import sys
from importlib import import_module
from typing import NoReturn

import ledger
from ledger.commands import main

PASSPHRASE = b"a sunny morning\n"


def run(line: str, folder: str, *, by_shell: bool) -> tuple[int, str]:
    """Exit status and output of a command."""
    child, terminal = pty.fork()
    if child == 0:
        os.chdir(folder)
        os.environ.pop("WEIGHBOOK_STORE", None)
        if by_shell:
            program = f'weighbook() {{ {shlex.quote(sys.executable)} -m ledger.commands "$@"; }}'
            os.execvp("sh", ["sh", "-c", f"{program}; {line}"])
        _become(shlex.split(line))
    shown = b""
    while True:
        try:
            data = os.read(terminal, 4096)
        except OSError:  # how Linux says that the other end of a terminal is closed
            break
        if not data:
            break
        shown += data
        if re.search(rb"assphrase[^\n]*: $|confirmation: $", shown):
            os.write(terminal, PASSPHRASE)
            shown += b"\n"
        elif shown.endswith((b"[y/N]: ", b"[y/n]: ")):
            os.write(terminal, b"y\n")
            shown += b"\n"
    os.close(terminal)
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status), shown.decode()


def _become(words: list[str]) -> NoReturn:
    """Be this command, to the end of the process."""
    sys.argv = words
    sys.stdout.reconfigure(line_buffering=True)  # as on a terminal; it was a pipe
    try:
        main()
    except SystemExit as end:
        # Not Python's own end, which would take down every module that was imported.
        sys.stdout.flush()
        os._exit(int(end.code or 0))


def _import_all() -> None:
    for module in pkgutil.walk_packages(ledger.__path__, "ledger."):
        # What runs when it is imported, and what is only ever handed out.
        if not module.name.endswith((".__main__", ".check_bundle")):
            import_module(module.name)


if __name__ == "__main__":
    _import_all()
    gc.freeze()
    outcomes = []
    for number, line in enumerate(sys.stdin.read().splitlines()):
        by_shell = number == 0 or not line.startswith("weighbook ")
        outcomes.append(run(line, sys.argv[1], by_shell=by_shell))
        if outcomes[-1][0]:
            break
    print(json.dumps(outcomes))
