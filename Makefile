# Two commands are all that a newcomer needs: make demo, make test.
PYTHON ?= python3
VENV   := .venv
BIN    := $(VENV)/bin
OUT    := demo-out
DEMO   := examples/build-up-week/6-the-wall.toml

.PHONY: demo test check bench how-we-know clean
.DELETE_ON_ERROR:

demo: $(VENV)/.run                ## install, compute the demo dive, print its slate
	@mkdir -p $(OUT)
	$(BIN)/slatewright dive $(DEMO) --slate $(OUT)/slate.pdf --chart $(OUT)/profile.svg
	@echo
	@echo "The slate is in $(OUT)/slate.pdf, the profile in $(OUT)/profile.svg."
	@echo "To plan in a browser, on this machine alone: $(BIN)/slatewright desk my-workspace"

test: check                       ## every check and every test
	$(BIN)/python -m pytest -q

check: $(VENV)/.test              ## lint, types, architecture
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

bench: $(VENV)/.test              ## the figures in README and docs, measured here
	$(BIN)/python -m pytest -q benchmarks --benchmark-only -o python_files='bench_*.py' \
	  --benchmark-columns=min,median,max,rounds --benchmark-sort=name

how-we-know: $(VENV)/.test        ## write docs/how-we-know.md from the outside checks
	$(BIN)/python -m pytest -q tests/published --how-we-know docs/how-we-know.md

$(VENV)/.run: pyproject.toml constraints.txt
	builders/make-venv $(PYTHON) $(VENV)
	$(BIN)/python -m pip install -q -c constraints.txt -e .
	@touch $@

$(VENV)/.test: $(VENV)/.run
	builders/debian-packages
	$(BIN)/python -m pip install -q -c constraints.txt -e '.[test]'
	@touch $@

clean:
	rm -rf $(VENV) $(OUT)
