# make demo: the main job, on an invented season. make test: lint, types, import contract, tests.
# Both do all set-up. Everything they make is in .venv/ and out/.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/ready
show = @echo; echo "$$ weighbook $(1)"; $(BIN)/weighbook $(1)

.PHONY: demo test bench clean

demo: export WEIGHBOOK_STORE = out/season.weighbook
demo: $(READY)
	@rm -rf out && mkdir out
	@echo "A tour through an invented season. Each command is shown as you would type it."
	$(call show,load sample_season)
	$(call show,status)
	$(call show,eligibility acorn-1a)
	$(call show,book newts)
	$(call show,print list acorn-1a newts --to out/list-acorn-1a-newts.pdf)
	$(call show,print blank-list newts --to out/blank-list-newts.pdf)
	$(call show,audit)
	@echo
	@echo "Made in out/: the ledger (season.weighbook) and the papers above."
	@echo "Look at it yourself: $(BIN)/weighbook --store out/season.weighbook --help"

test: $(READY)
	$(BIN)/ruff check ledger tests
	$(BIN)/ruff format --check ledger tests
	$(BIN)/mypy ledger
	$(BIN)/lint-imports
	$(BIN)/python -m pytest -n auto
	@echo "Lint, types, import contract and tests passed."

bench: $(READY)
	@for bench in tests/bench/bench_*.py; do $(BIN)/python $$bench || exit 1; done

$(READY): pyproject.toml .ci/system
	@sh .ci/system $(PYTHON)
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --upgrade pip
	$(BIN)/python -m pip install --quiet --editable '.[dev]'
	@touch $(READY)

clean:
	rm -rf $(VENV) out
