# Everything starts from here. Each target makes .venv first and does nothing to it when it already fits.

SHELL := /bin/sh
.DEFAULT_GOAL := help
BIN := .venv/bin
PYTEST := $(BIN)/python -m pytest
# Checks read the settings, and the settings keep a signing key in their home: give them one of their own.
CHECK_ENV := PRATIQUE_HOME=$(CURDIR)/.cache/check-home DJANGO_SETTINGS_MODULE=pratique.settings
# What setting a PDF needs of the system.
PAPER := libpangoft2-1.0-0 libharfbuzz-subset0
FAST := not browser and not prove
# These touch no database, so once is enough.
NO_DATABASE := $(addprefix --ignore=tests/,calibration sampler published property/science unit/science unit/knowledge)

.PHONY: help environment bundle demo demo-check test test-packages test-sqlite test-postgresql test-browser check bench calibrate \
	prove format lock screenshots clean

help: ## Say what can be made
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "  make %-16s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

environment: ## Make .venv from the locked packages
	@tools/make_environment.sh

bundle: environment
	@tools/build_bundle.sh

demo: bundle ## Load the demo household, print the rounds and serve it
	@$(BIN)/pratique demo

demo-check: bundle ## The same, fetch every page once, and stop
	@$(BIN)/pratique demo --check

test: test-packages test-sqlite test-postgresql test-browser ## Run every test on SQLite and PostgreSQL, and the browser tests

# Asked for before anything runs, so that a missing package is not found ten minutes into the tests.
test-packages:
	@tools/system_packages.sh postgresql chromium $(PAPER)

test-sqlite: environment ## Run the tests on SQLite only
	@tools/system_packages.sh $(PAPER)
	@tools/build_bundle.sh --strict
	@echo "== tests on SQLite"
	PRATIQUE_TEST_DATABASE=sqlite $(PYTEST) -n 2 -m "$(FAST)"

test-postgresql: environment ## Run the tests on PostgreSQL only
	@tools/system_packages.sh postgresql $(PAPER)
	@tools/build_bundle.sh --strict
	@echo "== tests on PostgreSQL"
	PRATIQUE_TEST_DATABASE=postgresql $(PYTEST) -n 2 -m "$(FAST)" $(NO_DATABASE)

test-browser: environment ## Run the browser tests in headless Chromium only
	@tools/system_packages.sh chromium
	@tools/build_bundle.sh --strict
	@echo "== tests in the browser"
	PRATIQUE_TEST_DATABASE=sqlite $(PYTEST) -n 2 --dist loadfile -m "browser and not prove"

check: environment ## Format, lint, types, imports, templates, sizes and settings
	@mkdir -p .cache
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(CHECK_ENV) $(BIN)/mypy
	$(CHECK_ENV) $(BIN)/lint-imports
	$(BIN)/djlint --check src/pratique/web/templates
	$(BIN)/djlint --lint --quiet src/pratique/web/templates
	$(BIN)/python tools/module_sizes.py
	$(BIN)/python tools/tracked_files.py
	$(CHECK_ENV) $(BIN)/python -m django check --fail-level WARNING
	$(CHECK_ENV) $(BIN)/python -m django makemigrations --check --dry-run

bench: environment ## Measure and print the times, with the machine beside them; fetches a sampler of some 400 MB
	@tools/add_sampler.sh
	@$(BIN)/python -m benchmarks

calibrate: environment ## Reckon 1,000 simulated tanks, keep 300 by the advice, and print how far both can be trusted
	@$(BIN)/python -m tools.calibrate --processes 2
	@$(BIN)/python -m tools.advice_trial --processes 2

prove: environment ## Run the long proofs; fetches a sampler of some 400 MB
	@tools/system_packages.sh postgresql
	@tools/add_sampler.sh
	PRATIQUE_TEST_DATABASE=sqlite $(PYTEST) -n 2 -m prove
	PRATIQUE_TEST_DATABASE=postgresql $(PYTEST) -n 2 -m prove $(NO_DATABASE)

format: environment ## Put code and templates into their one form
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix --quiet .
	-$(BIN)/djlint --reformat --quiet src/pratique/web/templates

lock: environment ## Make the lock files again from what pyproject.toml and package.json ask for
	tools/lock.sh

screenshots: bundle ## Draw every page at phone and desk width
	@tools/system_packages.sh chromium
	$(BIN)/python tools/screenshots.py

clean: ## Remove everything that was made, but no household
	rm -rf .venv .cache .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache dist test-results
	rm -rf frontend/node_modules src/pratique/web/static/pratique/built
	find src tests tools -name __pycache__ -type d -prune -exec rm -rf {} +
