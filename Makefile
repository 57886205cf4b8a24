# Two commands matter: `make demo` and `make test`. Both set up .venv by themselves.
# Every path is relative, so that the folder may have any name.

PORT ?= 8123
SERVE ?= yes
STRICT ?= no
WORKERS ?= auto
ARGS ?=

BIN := .venv/bin
LOCKS := .ci/locks
PIP := $(BIN)/python -m pip --disable-pip-version-check --no-input --quiet
COMPILE = $(BIN)/uv pip compile --no-config --quiet --upgrade --universal --python-version 3.11 \
	--fork-strategy fewest --generate-hashes --no-emit-index-url --no-emit-find-links \
	--no-annotate --no-header

.PHONY: help demo test bench lint lock picture clean
.DELETE_ON_ERROR:

help:
	@echo "make demo   build the demo shop's site and serve it (SERVE=no: only build; STRICT=yes: warnings count)"
	@echo "make test   run all tests (ARGS='-k monostable' to choose)"
	@echo "make bench  run the benchmarks"
	@echo "make lint   check style and types"
	@echo "make lock   bring the pinned versions up to date"
	@echo "make picture takes the picture in README.md again"
	@echo "make clean  remove everything that was made here"
	@echo "A Python other than the one found on the path: make PYTHON=/its/command ..."

demo: .venv/run.stamp
	$(BIN)/halfsplit build demo_content --to site/demo $(if $(filter yes,$(STRICT)),--strict)
	@echo "The demo shop's site is in site/demo: open site/demo/index.html, no server needed."
ifneq ($(SERVE),no)
	$(BIN)/halfsplit serve demo_content --port $(PORT)
endif

# Files stay together on one worker, so that what a file builds once is built once.
test: .venv/test.stamp
	sh .ci/install_chromium.sh
	$(BIN)/python -m pytest -n $(WORKERS) --maxprocesses 4 --dist loadfile $(ARGS)

bench: .venv/test.stamp
	$(BIN)/python -m pytest -m benchmark $(ARGS)

lint: .venv/test.stamp
	$(BIN)/python -m ruff check
	$(BIN)/python -m ruff format --check
	$(BIN)/python -m mypy

# Needs uv, which nothing else does, so it is fetched only here.
lock: .venv/run.stamp
	$(PIP) install uv
	$(COMPILE) pyproject.toml --extra test --output-file $(LOCKS)/test.txt
	$(COMPILE) pyproject.toml --constraints $(LOCKS)/test.txt --output-file $(LOCKS)/run.txt
	$(COMPILE) $(LOCKS)/build.in --constraints $(LOCKS)/test.txt --output-file $(LOCKS)/build.txt

picture: .venv/test.stamp
	$(BIN)/halfsplit build demo_content --to site/demo
	$(BIN)/python .ci/take_picture.py site/demo demo_content/page.png "$$(sh .ci/find_chromium.sh)"

clean:
	rm -rf .venv site dist build .halfsplit .pytest_cache .hypothesis .mypy_cache .ruff_cache
	find kb plugins tests -name __pycache__ -prune -exec rm -rf {} +

# The interpreter is started, not only looked for: it may have gone since the environment was made.
.venv/run.stamp: pyproject.toml $(LOCKS)/build.txt $(LOCKS)/run.txt
	@$(BIN)/python -c 'import pip' 2>/dev/null || { \
		python="$${PYTHON:-$$(sh .ci/find_python.sh)}" && "$$python" -m venv --clear .venv; }
	$(PIP) install --require-hashes -r $(LOCKS)/build.txt
	$(PIP) install --require-hashes -r $(LOCKS)/run.txt
	$(PIP) install --no-deps --no-build-isolation --editable .
	@touch $@

.venv/test.stamp: .venv/run.stamp $(LOCKS)/test.txt
	$(PIP) install --require-hashes -r $(LOCKS)/test.txt
	@touch $@
