# One entry for everything: `make run` to use it, `make test` before handing anything in.

PYTHON ?= python3
UV_VERSION := 0.13.9

# A browser name other than Debian's can be given: make test CHROMIUM=google-chrome
CHROMIUM ?= chromium

VENV := .venv
BIN := $(VENV)/bin
UV := .tools/bin/uv
UV_STAMP := .tools/uv-$(UV_VERSION)
STAMP := $(VENV)/.filled
NODE_STAMP := node_modules/.filled

export CHROMIUM
# Only the Python that is already here, and pages that start at once the first time.
export UV_PYTHON_DOWNLOADS := never
export UV_COMPILE_BYTECODE := 1
# Two threads of linear algebra on busy cores are many times slower than one.
export OPENBLAS_NUM_THREADS := 1

.DEFAULT_GOAL := help
.PHONY: help setup run test check soak pictures lock browser clean

help:
	@echo "make run       set up, then open the demonstration lab"
	@echo "make test      every check and every test, with the browser"
	@echo "make check     the same without the browser tests"
	@echo "make soak      the long tests only"
	@echo "make pictures  a picture of every page into build/pictures, for looking at"
	@echo "make setup     fill .venv from requirements.lock, node_modules from package-lock.json"
	@echo "make lock      resolve both locks again from pyproject.toml and package.json"
	@echo "make clean     remove what setup and the tests made"

setup: $(STAMP) $(NODE_STAMP)

# `--target` works where pip may not touch the system's packages; `--isolated` keeps a
# user's own pip settings (a user install, a required virtual environment) out of it.
$(UV_STAMP):
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Crustbreak needs Python 3.11 or newer. hint: make setup PYTHON=python3.12")'
	@rm -rf .tools
	$(PYTHON) -m pip install --isolated --quiet --no-warn-script-location \
		--root-user-action=ignore --disable-pip-version-check --target .tools uv==$(UV_VERSION)
	@touch $@

# `sync` also takes out what left the lock. The environment is named each time, since an
# activated one would otherwise be filled instead.
$(STAMP): requirements.lock pyproject.toml $(UV_STAMP)
	@test -x $(BIN)/python || $(UV) venv --quiet --clear \
		--python "$$($(PYTHON) -c 'import sys; print(sys.executable)')" $(VENV)
	$(UV) pip sync --quiet --python $(BIN)/python --require-hashes requirements.lock
	$(UV) pip install --quiet --python $(BIN)/python --no-deps --no-build-isolation --editable .
	@touch $@

# What checks and tests the page scripts; npm comes with the Python packages.
$(NODE_STAMP): package.json package-lock.json .npmrc $(STAMP)
	PATH="$(CURDIR)/$(BIN):$$PATH" npm ci --ignore-scripts --loglevel=error --no-progress
	@touch $@

run: $(STAMP)
	$(BIN)/crustbreak run --demo

test: setup browser
	scripts/check --browser

check: setup
	scripts/check

soak: setup
	$(BIN)/python -m pytest -m soak --timeout 3600

pictures: setup browser
	$(BIN)/python scripts/pictures.py

browser:
	@scripts/browser

# No header, notes or index addresses: the file says what is installed, not from where.
lock: $(UV_STAMP)
	$(UV) pip compile --quiet --universal --generate-hashes --extra dev --no-header \
		--no-annotate --no-emit-index-url --output-file requirements.lock $(LOCK_FLAGS) pyproject.toml
	PATH="$(CURDIR)/$(BIN):$$PATH" npm install --package-lock-only --loglevel=error

clean:
	rm -rf .venv .tools node_modules .pytest_cache .mypy_cache .ruff_cache .import_linter_cache .hypothesis \
		.coverage build dist
	find src tests scripts -name __pycache__ -type d -prune -exec rm -rf {} +
