PYTHON ?= python

.PHONY: check explore fix gallery patterns patterns-judged fuzz sensible bench

check:    ## every check
	sh .ci/check $(PYTHON)

explore:  ## property tests with examples never tried before
	CANIVET_EXAMPLES=anew $(PYTHON) -m pytest -n auto tests

fix:      ## put format and imports right
	$(PYTHON) -m ruff format .
	$(PYTHON) -m ruff check --fix .

gallery:  ## draw the gallery anew, after a change that is meant
	$(PYTHON) gallery/redraw.py

patterns: ## draw the pattern sheets anew, after a motif was added or redrawn
	$(PYTHON) gallery/patterns/redraw.py

patterns-judged: ## a sheet for each motif of a family, to be graded by eye; FAMILY=border INTO=drawings
	$(PYTHON) gallery/patterns/judge.py $(or $(FAMILY),border) $(or $(INTO),drawings) $(NAMES)

fuzz:     ## hostile inputs and random designs, on from the last seed; MINUTES=5 or as many as wanted, WORKERS=1
	nice -n 19 $(PYTHON) tests/fuzz/fuzz.py --minutes $(or $(MINUTES),5) --workers $(or $(WORKERS),1)

sensible: ## sensible designs by chance on contact sheets, to be graded by eye; COUNT=24
	$(PYTHON) tests/fuzz/sensible.py $(or $(COUNT),24) drawings

bench:    ## speed, as ratios measured in one run
	for script in tests/benchmarks/bench_*.py; do $(PYTHON) $$script || exit 1; done
