# Halfhour. `make` alone says what there is to do.
# Needed: Go (any from 1.26 on; it brings the version below along) and PostgreSQL
# 15 or newer. The browser's tests need Chromium too, and are left out without it.

export GOTOOLCHAIN := go1.27.3

# The program chooses a folder for the demo by itself. Under root that would lie in
# /root, through which the account that then runs the database cannot pass.
ifeq ($(shell id -u),0)
run dev: export HALFHOUR_DATA ?= /var/lib/halfhour-demo
endif

PKG   ?= ./...
LINT  := go tool -modfile=.ci/tools/go.mod golangci-lint
FLAGS ?=
TESTS ?=
# What takes longest is begun first, and the rest runs beside it.
LONG  := $(if $(filter ./...,$(PKG)),./internal/testing/e2e ./internal/jobs)

.DEFAULT_GOAL := help
.PHONY: help run dev build test bench lint types vuln fmt generate schema screens clean

help: ## say what there is to do
	@awk 'BEGIN { FS = ":.*## " } /^[a-z]+:.*## / { printf "  make %-10s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

run: ## run Halfhour with a club of invented people (FLAGS=--listen=127.0.0.1:9000)
	@go build -o bin/halfhour ./cmd/halfhour
	@exec bin/halfhour serve --demo $(FLAGS)

dev: ## the same, and follow changes of pages and code (http://127.0.0.1:7331)
	go tool templ generate --watch \
		--proxy=http://127.0.0.1:8080 --open-browser=false --cmd="go run ./cmd/halfhour serve --demo $(FLAGS)"

build: ## one static program: bin/halfhour
	CGO_ENABLED=0 go build -trimpath -ldflags='-s -w' -o bin/halfhour ./cmd/halfhour

test: ## everything that must hold (PKG=./internal/load for one package)
	go vet $(PKG)
	go test -timeout 20m $(TESTS) $(LONG) $(PKG)

bench: ## measure, each thing beside its floor
	go test -run='^$$' -bench=. -benchmem $(PKG)

lint: ## look for what the compiler does not mind
	$(LINT) run $(PKG)

types: ## check the types in the pages' JavaScript (needs npm)
	.ci/types/check

vuln: ## look for known weaknesses in what is called, without a network
	.ci/vuln

fmt: ## bring Go and templ files into their form
	gofmt -w cmd internal web migrations
	go tool templ fmt web

generate: ## make the Go files of the pages from their templates
	go tool templ generate

schema: ## write migrations/schema.sql from the migrations
	go test ./internal/postgres -run '^TestSchema' -count=1 -update

screens: ## save a picture of every page (SCREENS=folder)
	HALFHOUR_SCREENS="$(abspath $(or $(SCREENS),bin/screens))" go test ./internal/testing/e2e -run '^TestEveryPage' -count=1 -v

clean: ## remove what was built; data stays
	rm -rf bin
