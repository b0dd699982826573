# Start here: "make run" builds the app and serves it on http://localhost:8080
# (PORT=8081 make run for another port); "make test" installs what tests need
# and runs them all.

.PHONY: run build test bench fuzz generate pictures check-generated

run:
	go run ./wasm/serve

build:
	go run ./wasm/serve -build-only

# One line a cost: name, ours, rival, the rival's figure, ratio, goal, ok or short.
# The command reads ONLY, the name of the one cost to measure.
bench:
	@go run ./wasm/bench

# Each fuzzer for a minute (TIME=10s for another time).
fuzz:
	@for package in $$(go list ./...); do \
		for name in $$(go test -list '^Fuzz' $$package | grep '^Fuzz'); do \
			echo "== $$package $$name"; \
			go test -run '^$$' -fuzz "^$$name\$$" -fuzztime $(or $(TIME),1m) $$package || exit 1; \
		done; \
	done

generate:
	go generate ./...

# The README's pictures, anew. Look at them before you commit them.
pictures:
	go test ./wasm/journeys -run '^TestPictures$$' -pictures

# Fails when a generated file is not what its source gives now. The file has
# then been written anew: look at it and commit it.
check-generated:
	@before=$$(git ls-files -co --exclude-standard '*_gen.go' | xargs sha256sum); go generate ./... || exit 1; \
	echo "$$before" | sha256sum --quiet -c - || { echo "these were stale and have been written anew"; exit 1; }

# ---- the parts of make test, in order ----

PARTS := tools format vet staticcheck generated arrows go 386 android vectors browser
.PHONY: $(PARTS:%=test-%)

test:
	@passed=0; failed=0; names=""; \
	for part in $(PARTS); do \
		echo "== $$part"; began=$$(date +%s); \
		if $(MAKE) --no-print-directory test-$$part; then passed=$$((passed + 1)); \
		else failed=$$((failed + 1)); names="$$names $$part"; fi; \
		echo "== $$part: $$(($$(date +%s) - began)) s"; \
	done; \
	if [ $$failed -gt 0 ]; then echo "failed:$$names"; fi; \
	echo "$$passed passed, $$failed failed"; [ $$failed -eq 0 ]

test-tools:
	@.ci/tools

test-format:
	@unformatted=$$(git ls-files -co --exclude-standard '*.go' | xargs gofmt -l); \
	if [ -n "$$unformatted" ]; then echo "not formatted, run gofmt -w:"; echo "$$unformatted"; exit 1; fi

test-vet:
	@go vet ./...
	@GOOS=js GOARCH=wasm go vet -tags faults ./wasm/app/...

test-staticcheck:
	@go tool staticcheck ./...
	@tool=$$(go tool -n staticcheck) && GOOS=js GOARCH=wasm $$tool -tags faults ./wasm/app/...

test-generated: check-generated

test-arrows:
	@go test ./core

# Packages whose tests drive a browser have a part of their own.
BROWSER := ./wasm/shell/shelltest ./wasm/journeys/...
test-go:
	@go test $$(go list ./... | grep -v -e /shelltest -e /journeys)

# The oldest phones are 32-bit.
test-386:
	@GOARCH=386 go test ./core/... ./i18n/...

# The binding for a phone, what only its tests are given, and its threads.
test-android:
	@GOOS=android GOARCH=arm64 CGO_ENABLED=0 go vet ./core/... ./mobile
	@go vet -tags jvmtest ./mobile/...
	@CGO_ENABLED=1 go test -race -run Thread ./mobile

# The same cases on every host, and the same bytes in reply.
VECTORS := testdata/vectors/*.json
test-vectors:
	@replies=$$(mktemp) && trap 'rm -f '$$replies EXIT && \
	go run ./core/vectors -replies $$replies $(VECTORS) && \
	for host in wasm jvm; do echo "$$host:"; go run ./core/vectors -host $$host -compare $$replies $(VECTORS) || exit 1; done && \
	echo "386:" && GOARCH=386 go run ./core/vectors -compare $$replies $(VECTORS)

# Never from the cache: what the tests build before they begin, the scripts
# among it, is not seen by it.
test-browser:
	@go test -count=1 $(BROWSER)
