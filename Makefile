# Flutewright: the few commands that are needed. All of them run on a fresh machine with Go.
GO ?= go
FUZZTIME ?= 20s

highs = @[ -d internal/oracle/node_modules ] || npm ci --prefix internal/oracle --silent --no-audit --no-fund

.PHONY: run test check bench bench-peers drill oracle lint fuzz validation tools

run: ## the desk with the invented plant, on 127.0.0.1
	$(GO) run ./cmd/flutewright demo

test: ## every test; tests that lack a tool of the system say so (and fail where CI=true)
	@sh internal/needs.sh
	$(GO) test ./...

check: ## format, vet, import rule, docs that are generated
	@test -z "$$(gofmt -l .)" || { gofmt -l .; echo "gofmt: the files above need it"; exit 1; }
	$(GO) vet ./...
	$(GO) test ./internal/arch
	sh internal/validation.sh --check

lint: ## what gofmt and vet do not see; its first build takes some minutes
	cd tools && $(GO) build -o ../bin/golangci-lint github.com/golangci/golangci-lint/v2/cmd/golangci-lint
	bin/golangci-lint run ./...

validation: ## docs/validation.md from the published checks in the tests
	sh internal/validation.sh

bench: ## measure; writes docs/benchmark.md; with PEERS=1 the general solvers run again, too
	$(if $(PEERS),$(highs))
	$(GO) run ./internal/bench $(if $(PEERS),-peers) -out docs/benchmark.md

bench-peers: ## HiGHS and CBC beside the trim engine, 5 to 10 minutes of two cores; writes docs/peers.json
	$(highs)
	$(GO) run ./internal/bench -only peers

drill: ## kill the desk's store 500 times while it imports, records and plans
	FLUTEWRIGHT_KILLS=500 $(GO) test -count=1 -v -timeout 20m -run TestKilledProcessLosesNothing ./store

oracle: ## the trim engine against proven optima of 100 problems of up to 10 orders
	$(highs)
	ORACLE_PROBLEMS=100 ORACLE_ORDERS=10 ORACLE_ROUNDS=2000 ORACLE_SECONDS=60 $(GO) test -count=1 -v -timeout 30m ./internal/oracle

fuzz: ## each fuzz target for a while
	sh internal/fuzz.sh $(FUZZTIME)
