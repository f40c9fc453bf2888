# Two ways in: `make demo` shows what it does, `make test` proves it. Both make their own environment in .venv.
PYTHON ?= python3
VENV ?= .venv
PIP = $(VENV)/bin/python -m pip install --quiet --disable-pip-version-check -c .ci/constraints.txt

.PHONY: demo test lint check bench fuzz clean

demo: $(VENV)/demo.stamp
	$(VENV)/bin/rigfeed demo --out rigfeed-papers

test: $(VENV)/test.stamp lint
	tests/prepare.sh
	$(VENV)/bin/python -m pytest -n auto --maxprocesses 4 --dist loadfile --no-loadscope-reorder

lint: $(VENV)/test.stamp
	$(VENV)/bin/ruff check .
	$(VENV)/bin/mypy
	$(VENV)/bin/lint-imports

bench: $(VENV)/test.stamp
	$(VENV)/bin/python tests/bench/startup.py
	$(VENV)/bin/python tests/bench/large_catalog.py
	$(VENV)/bin/python tests/bench/supplier_list.py
	$(VENV)/bin/python tests/bench/assessment.py
	$(VENV)/bin/python tests/bench/drawing.py
	$(VENV)/bin/python tests/bench/http_calls.py
	$(VENV)/bin/python tests/bench/window.py

fuzz: $(VENV)/test.stamp
	RIGFEED_FUZZ=200 $(VENV)/bin/python -m pytest tests/api/test_fuzz.py

$(VENV)/demo.stamp: pyproject.toml .ci/constraints.txt | $(VENV)/bin/python
	$(PIP) -e .
	touch $@

$(VENV)/test.stamp: pyproject.toml .ci/constraints.txt | $(VENV)/bin/python
	$(PIP) -e '.[test]'
	touch $@ $(VENV)/demo.stamp

$(VENV)/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || \
		{ echo "Python 3.11 or later is needed; name it like this: make PYTHON=python3.11"; exit 1; }
	@$(PYTHON) -c 'import ensurepip' 2>/dev/null || \
		{ echo "venv is missing; on Debian and Ubuntu: apt-get install python3-venv"; exit 1; }
	$(PYTHON) -m venv $(VENV)

clean:
	rm -rf $(VENV) rigfeed-papers build dist
