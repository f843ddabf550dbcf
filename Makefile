# Each target does its own set-up. `make help` lists them.
PYTHON ?= python3
VENV ?= .venv
BIN := $(VENV)/bin
READY := $(VENV)/.ready

.DEFAULT_GOAL := help
.PHONY: help setup demo test check lint types layers docs docs-write templates bench lock clean

help: ## list the targets
	@sed -n 's/^\([a-z-]*\):[^#]*## \(.*\)/  make \1\t\2/p' $(MAKEFILE_LIST) | expand -t 22

setup: $(READY) ## virtual environment with pinned dependencies and the package

$(READY): requirements.lock pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --config-settings editable_mode=compat -e .
	@touch $(READY)

demo: setup ## quote the demo job: bill, hours, price, workbook and quote under out/
	$(BIN)/estimator quote demo_jobs/storage-outside/survey.toml --db out/estimator.db --out out

test: setup ## run the whole test-suite
	$(BIN)/python -m pytest

check: lint types layers docs ## lint, types, layers and docs

lint: setup
	$(BIN)/ruff check .

types: setup
	$(BIN)/mypy

layers: setup
	$(BIN)/lint-imports

docs: setup ## check that generated pages and links are true
	$(BIN)/python -m tools.docs --check

docs-write: setup ## write the generated pages again
	$(BIN)/python -m tools.docs --write

templates: setup ## compile the templates of the quote page again
	$(BIN)/python -c "from estimator.papers import quote_page as page; page.compile_templates(page.COMPILED)"

bench: setup ## measure speed as ratios in one run
	env -u PYTHONDONTWRITEBYTECODE $(BIN)/python -m bench.rules
	env -u PYTHONDONTWRITEBYTECODE $(BIN)/python -m bench.commands

lock: ## pin dependencies anew (needs uv)
	uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --extra dev pyproject.toml -o requirements.lock

clean: ## remove the virtual environment and what was written under out/
	rm -rf $(VENV) out
