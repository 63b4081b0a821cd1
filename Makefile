# make demo: the main job, on an invented season. make test: lint, types, import contract, tests.
# Both do all set-up. Everything they make is in .venv/ and out/.

PYTHON ?= python3
# Else each process that a test starts would compile the program anew.
unexport PYTHONDONTWRITEBYTECODE
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/ready
show = @echo; echo "$$ weighbook $(1)"; $(BIN)/weighbook $(1)
sign = $(call show,sign acorn-1a $(1) --by $(2) --passphrase-file out/passphrase.txt $(3))

.PHONY: demo test browser lint types bench fuzz clean

demo: export WEIGHBOOK_STORE = out/season.weighbook
demo: $(READY)
	@rm -rf out && mkdir out
	@echo "A tour through an invented season. Each command is shown as you would type it."
	$(call show,load sample_season)
	$(call show,status)
	$(call show,eligibility acorn-1a)
	$(call show,why acorn-2a --team newts --number 62)
	$(call show,book newts)
	$(call show,print list acorn-1a newts --to out/list-acorn-1a-newts.pdf)
	$(call show,print blank-list newts --to out/blank-list-newts.pdf)
	@echo "invented words" > out/passphrase.txt
	$(call show,enroll newts-wm1 --by registrar --passphrase-file out/passphrase.txt)
	$(call show,enroll marmots-wm3 --by registrar --passphrase-file out/passphrase.txt)
	@cp out/season.weighbook out/cut.weighbook
	$(call sign,newts,newts-wm1)
	$(call sign,newts,marmots-wm3)
	$(call sign,marmots,newts-wm1)
	$(call sign,marmots,marmots-wm3,--receipt out/receipt.txt)
	$(call show,audit --since out/receipt.txt)
	@echo
	@echo "A protest, as those who decide it get it; a bundle for whoever doubts it; the season in counts:"
	$(call show,print protest-packet late-plays --to out/packet-late-plays.pdf)
	$(call show,evidence pack late-plays --packet out/packet-late-plays.pdf --to out/late-plays.zip)
	$(call show,print season-summary --to out/season-summary.pdf)
	@echo
	@echo "Now somebody cuts the ledger back to before the signatures, and a receipt tells:"
	@echo "$$ weighbook --store out/cut.weighbook audit --since out/receipt.txt"
	@if $(BIN)/weighbook --store out/cut.weighbook audit --since out/receipt.txt; \
	then echo "The cut was not found."; exit 1; fi
	@echo
	@echo "Made in out/: the ledger (season.weighbook), papers (*.pdf), a bundle (late-plays.zip), a receipt; and"
	@echo "cut.weighbook."
	@echo "Look at it yourself: $(BIN)/weighbook --store out/season.weighbook --help"
	@echo "Open the page of the scale table on it: $(BIN)/weighbook --store out/season.weighbook serve"
	@echo "  (newts-wm1 and marmots-wm3 sign in with the passphrase \"invented words\")"

test: $(READY)
	@$(MAKE) --no-print-directory --jobs=3 browser lint types
	$(BIN)/python -m pytest -n auto --dist worksteal
	@echo "Lint, types, import contract and tests passed."

browser:
	@sh .ci/system $(PYTHON) browser

lint: $(READY)
	$(BIN)/ruff check ledger tests
	$(BIN)/ruff format --check ledger tests
	$(BIN)/lint-imports
	$(BIN)/sqlfluff lint --disable-progress-bar sql

types: $(READY)
	$(BIN)/mypy ledger

fuzz: $(READY)
	$(BIN)/python -m pip install --quiet --editable '.[dev,bench]'
	$(BIN)/python -m tests.fuzz

bench: $(READY)
	$(BIN)/python -m pip install --quiet --editable '.[dev,bench]'
	@for bench in tests/bench/bench_*.py; do \
		$(BIN)/python -m tests.bench.$$(basename $$bench .py) || exit 1; done

# Compiled is what is imported: pip would compile all that it installs, for half a minute.
$(READY): pyproject.toml .ci/system
	@sh .ci/system $(PYTHON)
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --upgrade pip
	$(BIN)/python -m pip install --quiet --no-compile --editable '.[dev]'
	@touch $(READY)

clean:
	rm -rf $(VENV) out
