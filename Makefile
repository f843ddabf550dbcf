# Each target does its own set-up. `make help` lists them.
PYTHON ?= python3
VENV ?= .venv
BIN := $(VENV)/bin
READY := $(VENV)/.ready
TOOLS := $(VENV)/.tools
LOCK := uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check
# How many processes share the tests: a number, `auto` for one a core, 0 for none beside pytest.
WORKERS ?= auto

# Tests and benches start the program again and again; without its compiled modules each start parses
# all of them.
unexport PYTHONDONTWRITEBYTECODE

.DEFAULT_GOAL := help
.PHONY: help setup tools demo demo-year test surveys drift check lint types layers docs docs-write \
	templates bench baskets truths review-bench price-lists lock clean

help: ## list the targets
	@sed -n 's/^\([a-z-]*\):[^#]*## \(.*\)/  make \1\t\2/p' $(MAKEFILE_LIST) | expand -t 22

setup: $(READY) ## virtual environment with pinned dependencies and the package

$(READY): requirements.lock pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(PIP) --require-hashes -r requirements.lock
	$(PIP) --no-deps --no-build-isolation --config-settings editable_mode=compat -e .
	@touch $(READY)

tools: $(TOOLS) ## the same with what tests and checks need

$(TOOLS): $(READY) requirements-dev.lock
	$(PIP) --require-hashes -r requirements-dev.lock
	@touch $(TOOLS)

demo: setup ## quote the demo job: bill, hours, price, workbook and quote under out/
	$(BIN)/estimator quote demo_jobs/storage-outside/survey.toml --db out/estimator.db --out out

demo-year: setup ## a firm's year with 400 quotes and 150 jobs, under out/demo-year
	$(BIN)/python -m demo_jobs.year --out out/demo-year

test: tools ## run the whole test-suite, on all cores (WORKERS=0: in one process)
	$(BIN)/python -m pytest --numprocesses $(WORKERS) --dist worksteal

surveys: tools ## ten thousand generated surveys through the whole chain (some minutes)
	SURVEYS=10000 $(BIN)/python -m pytest -q --numprocesses $(WORKERS) tests/chain/test_generated_surveys.py

drift: tools ## a thousand open quotes run again, each held against quoting it by hand (a quarter of an hour)
	QUOTES=1000 $(BIN)/python -m pytest -q tests/chain/test_drift_of_many.py

check: lint types layers docs ## lint, types, layers and docs

lint: tools
	$(BIN)/ruff check .

types: tools
	$(BIN)/mypy

layers: tools
	$(BIN)/lint-imports

docs: tools ## check that generated pages and links are true
	$(BIN)/python -m tools.docs --check

docs-write: tools ## write the generated pages again
	$(BIN)/python -m tools.docs --write

templates: setup ## compile the templates of the pages again
	$(BIN)/python -c "from estimator.papers import page_templates as page; page.compile_templates(page.COMPILED)"

bench: tools ## measure speed as ratios in one run
	$(BIN)/python -m bench.rules
	$(BIN)/python -m bench.commands
	$(BIN)/python -m bench.price_list_reading
	$(BIN)/python -m bench.cutting

baskets: tools ## a thousand random baskets of 50 lines and 4 suppliers: solve time and gap (some minutes)
	$(BIN)/python -m bench.baskets

truths: tools ## the review against 20 years whose truth is known: what it finds, whom it accuses (some minutes)
	$(BIN)/python -m bench.truths

review-bench: tools ## the review over 100,000 jobs and 1,000,000 cost lines against plain SQL (some minutes)
	$(BIN)/python -m bench.review

price-lists: tools ## import of a price list of 100,000 rows against the bare work (some minutes)
	$(BIN)/python -m bench.price_lists

lock: ## pin dependencies anew (needs uv)
	$(LOCK) --extra install pyproject.toml -o requirements.lock
	$(LOCK) --extra install --extra dev -c requirements.lock pyproject.toml -o requirements-dev.lock

clean: ## remove the virtual environment and what was written under out/
	rm -rf $(VENV) out
