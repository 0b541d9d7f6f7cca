# Needs make and Python 3.11 or newer, nothing else. All set-up goes into .venv, all results into
# build/. `make` alone lists what can be made.

PYTHON ?= python3
JOBS ?= 2
BIN := .venv/bin
export PYTHON
# All tests of a file on one core: what they share is made once, not once on each.
SPREAD := -n $(JOBS) --dist loadfile --no-loadscope-reorder

# Some machines forbid writing bytecode, which makes every start slow.
unexport PYTHONDONTWRITEBYTECODE

.DEFAULT_GOAL := help
.PHONY: help run test whole quick lint kernels ready bench docs lock clean

help: ## list what can be made
	@sed -n 's/^\([a-z]*\):.*## \(.*\)/make \1	\2/p' Makefile

run: .venv/ready-run ## plan the invented demo job, write build/larkfield.html, then open the app on it
	@mkdir -p build
	@$(BIN)/coatwright plan demo --brief --html build/larkfield.html
	@$(BIN)/coatwright serve --demo --folder build/shop --open

test: ready ## set up and run every check there is
	$(BIN)/python -m pytest $(SPREAD) -m "not whole"

whole: .venv/ready-test ## the whole invented job by taps, in a browser: five minutes
	$(BIN)/python -m pytest -m whole tests/faces/web/whole

quick: ready ## the checks that take less than a minute
	$(BIN)/python -m pytest $(SPREAD) -m "not slow and not browser" --hypothesis-profile quick

ready: .venv/ready-test
	@$(MAKE) --no-print-directory -j 2 lint kernels

# Else both cores would wait for the same kernels, each compiling all of them.
kernels: .venv/ready-test
	@$(BIN)/python tools/kernels.py

lint: .venv/ready-test
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy
	$(BIN)/lint-imports

bench: .venv/ready-test ## measure the engines against their references
	@for script in benchmarks/bench_*.py; do echo "== $$script"; $(BIN)/python $$script || exit 1; done

docs: .venv/ready-test ## write again the reference pages that come from the data and the commands
	$(BIN)/python tools/reference.py
	$(BIN)/python tools/schema.py
	$(BIN)/python tools/commands.py
	$(BIN)/python tools/record_format.py

# --universal: one file for every platform. Existing pins are kept unless UPGRADE=1.
COMPILE = $(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes \
	--no-header --no-annotate --no-emit-index-url $(if $(UPGRADE),--upgrade)
lock: .venv/ready-run ## make the requirement files again after a change in pyproject.toml
	$(COMPILE) --group setup -o requirements-setup.txt
	$(COMPILE) --group build -o requirements-build.txt
	$(COMPILE) pyproject.toml -c requirements-build.txt -o requirements.txt
	$(COMPILE) pyproject.toml --group dev -c requirements-build.txt -c requirements.txt \
		-o requirements-dev.txt

clean: ## remove .venv, build/ and every cache
	rm -rf .venv build dist .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache
	find src tests benchmarks tools -name __pycache__ -prune -exec rm -rf {} +

SETUP := pyproject.toml requirements-setup.txt requirements-build.txt tools/set-up
.venv/ready-run: requirements.txt $(SETUP)
	@tools/set-up $<
	@touch $@

.venv/ready-test: requirements-dev.txt requirements.txt $(SETUP)
	@tools/set-up $<
	@touch .venv/ready-run $@
