# SPDX-License-Identifier: GPL-3.0-or-later
# GNU make.  `make help` lists the targets.

PREFIX ?= /usr/local
DESTDIR ?=
BUILD ?= build
CFLAGS ?=
LDFLAGS ?=
OPT ?= -O2
AR ?= ar
# Debian's modules belong to Debian's python, whatever else is installed.
PYTHON ?= $(firstword $(wildcard /usr/bin/python3) python3)

# All processors, unless this make was given a number or is run by another make.
ifeq ($(MAKELEVEL),0)
ifeq ($(filter -j%,$(MAKEFLAGS)),)
MAKEFLAGS += -j$(shell nproc 2>/dev/null || echo 2)
endif
endif
MAKEFLAGS += --no-builtin-rules --no-print-directory
.DELETE_ON_ERROR:
.SECONDARY:

# V=1 shows the commands.
Q := $(if $(V),,@)

WARNINGS := -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wstrict-prototypes \
  -Wmissing-prototypes -Wdouble-promotion -Wvla
SANITIZE := -O1 -fno-omit-frame-pointer -fno-sanitize-recover=all \
  -fsanitize=address,undefined,float-cast-overflow

# ---- What has to be installed first -----------------------------------------------------

GOALS := $(or $(MAKECMDGOALS),all)
TOOLS := build
ifneq ($(filter demo,$(GOALS)),)
TOOLS += plot
endif
ifneq ($(filter test test-sanitize run-tests,$(GOALS)),)
TOOLS += plot test
endif
ifneq ($(filter test-oracle,$(GOALS)),)
TOOLS += oracle
endif
ifneq ($(filter lint,$(GOALS)),)
TOOLS += test lint
endif
ifneq ($(filter coverage mutants mutants-named,$(GOALS)),)
TOOLS += plot test coverage mutants
endif
ifneq ($(filter bench-guard bench-guard-update,$(GOALS)),)
TOOLS += guard
endif
ifneq ($(filter fuzz,$(GOALS)),)
TOOLS += fuzz
endif
ifneq ($(filter deb deb-trial,$(GOALS)),)
TOOLS += deb
endif
ifneq ($(filter deb-trial,$(GOALS)),)
TOOLS += trial
endif
ifneq ($(filter grains,$(GOALS)),)
TOOLS += grains
endif
ifneq ($(filter format,$(GOALS)),)
TOOLS += lint
endif

# Only these install what is missing, and INSTALL=no stops that; the others say what is missing.
INSTALLING := demo test test-sanitize test-oracle test-programs run-tests bench lint format \
  regression regression-update coverage mutants fuzz fuzz-replay bench-guard docs deb deb-trial grains
INSTALL ?= $(if $(filter $(INSTALLING),$(GOALS)),yes,no)

# pkg-config itself may be among the missing, so it is asked on first use in a recipe and
# its answer kept.
pkg = $(shell pkg-config $(1) || echo pkg-config-failed)
# What the library needs, and what the program needs beside it.
LIBRARY_PACKAGES := gsl libconfig udunits expat
PACKAGES := $(LIBRARY_PACKAGES) jansson
LIB_CFLAGS = $(eval LIB_CFLAGS := $(call pkg,--cflags $(PACKAGES)))$(LIB_CFLAGS)
LIB_LIBS = $(eval LIB_LIBS := $(call pkg,--libs $(PACKAGES)))$(LIB_LIBS)
LIBRARY_LIBS = $(eval LIBRARY_LIBS := $(call pkg,--libs $(LIBRARY_PACKAGES)))$(LIBRARY_LIBS)
TEST_CFLAGS = $(eval TEST_CFLAGS := $(call pkg,--cflags cmocka jansson))$(TEST_CFLAGS)
TEST_LIBS = $(eval TEST_LIBS := $(call pkg,--libs cmocka jansson))$(TEST_LIBS)

# ---- Files ------------------------------------------------------------------------------

SOURCES := $(sort $(wildcard src/*/*.c))
HEADERS := $(sort $(wildcard include/flourgold/*.h src/*/*.h))
TEST_HEADERS := $(sort $(wildcard tests/*.h tests/*/*.h))
UNIT_SOURCES := $(sort $(wildcard tests/unit/test_*.c))
BENCH_SOURCES := $(sort $(wildcard tests/bench/*.c))
SUPPORT_SOURCES := $(sort $(wildcard tests/support/*.c))
TEST_SOURCES := $(sort $(wildcard tests/*.c tests/*/*.c))
CHECK_FILES := $(sort $(wildcard tests/published/*.check tests/commands/*.check))
ORACLES := $(sort $(wildcard tests/oracle/*.py))

PROGRAM := $(BUILD)/flourgold
# For users: without the command line, its pages and reports.
LIBRARY_FOLDERS := core stats physics scenario model input study
LIBRARY := $(BUILD)/libflourgold.a
VERSION := $(shell sed -n 's/^.define FG_VERSION "\(.*\)"$$/\1/p' include/flourgold/version.h)
SONAME := libflourgold.so.$(firstword $(subst ., ,$(VERSION)))
SHARED := $(BUILD)/libflourgold.so.$(VERSION)
EXPORTS := src/flourgold.map
# All but main(), for the program and the tests.
ARCHIVE := $(BUILD)/libprogram.a
SUPPORT := $(BUILD)/tests/libsupport.a
RUNNER := $(BUILD)/tests/runner
REGRESSION := $(BUILD)/tests/regression
UNIT_PROGRAMS := $(UNIT_SOURCES:tests/unit/%.c=$(BUILD)/tests/%)
REPLAY := $(BUILD)/tests/replay
FUZZER := $(BUILD)/fuzzer
BENCH_PROGRAMS := $(BENCH_SOURCES:tests/bench/%.c=$(BUILD)/bench/%)

DOCS := $(BUILD)/docs
MAKEDOCS := $(BUILD)/makedocs

MAIN_OBJECT := $(BUILD)/obj/src/cli/main.o
MAKEDOCS_OBJECT := $(BUILD)/obj/src/docs/main.o
ARCHIVE_OBJECTS := $(filter-out $(MAIN_OBJECT) $(MAKEDOCS_OBJECT),$(SOURCES:%.c=$(BUILD)/obj/%.o))
LIBRARY_OBJECTS := $(filter $(LIBRARY_FOLDERS:%=$(BUILD)/obj/src/%/%.o),$(ARCHIVE_OBJECTS))
SUPPORT_OBJECTS := $(SUPPORT_SOURCES:%.c=$(BUILD)/obj/%.o)
OBJECTS := $(ARCHIVE_OBJECTS) $(MAIN_OBJECT) $(MAKEDOCS_OBJECT) $(TEST_SOURCES:%.c=$(BUILD)/obj/%.o)

# ---- Flags ------------------------------------------------------------------------------

# Not with the sanitizers, which do the same and more; _FORTIFY_SOURCE needs an optimizing compiler.
ifeq ($(findstring -fsanitize,$(OPT) $(CFLAGS)),)
HARDEN := -fstack-protector-strong $(if $(filter x86_64 i686,$(shell uname -m)),-fcf-protection) \
  $(if $(filter -O1 -O2 -O3 -Os,$(OPT)),-U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=2)
HARDEN_LINK := -Wl,-z,relro,-z,now
PIE := -pie
endif

LANGUAGE := -std=c17 -D_GNU_SOURCE -Iinclude -Isrc
COMPILE = $(CC) $(LANGUAGE) $(WARNINGS) $(OPT) -g -ffp-contract=off \
  -fPIC -fno-semantic-interposition $(HARDEN) -MMD -MP $(LIB_CFLAGS) -fopenmp $(CFLAGS)
COMPILE_TEST = $(COMPILE) -Itests/support $(TEST_CFLAGS)
LINK = $(CC) $(OPT) -g -fopenmp $(PIE) $(HARDEN_LINK) $(CFLAGS) $(LDFLAGS)
LINK_SHARED = $(CC) $(OPT) -g -fopenmp -shared $(HARDEN_LINK) -Wl,-z,defs -Wl,-soname,$(SONAME) \
  -Wl,--version-script=$(EXPORTS) $(CFLAGS) $(LDFLAGS)

# ---- Building ---------------------------------------------------------------------------

.PHONY: all docs demo test fuzz grains coverage mutants mutants-named bench-guard bench-guard-update test-sanitize test-oracle test-programs run-tests regression \
  regression-update bench lint lint-format lint-layers lint-tidy format \
  install uninstall deb deb-trial clean help tools FORCE

all: $(PROGRAM) $(LIBRARY) $(SHARED) docs ## build the program, the library and their documents (the default)

tools:
	@CC='$(CC)' PYTHON='$(PYTHON)' INSTALL='$(INSTALL)' .ci/install $(TOOLS)

# Changes only when the compile or link command does; everything is rebuilt then.
$(BUILD)/flags: FORCE | tools
	@mkdir -p $(@D)
	@printf '%s\n' '$(COMPILE)' '$(LINK) $(LIB_LIBS)' | cmp -s - $@ || \
	  printf '%s\n' '$(COMPILE)' '$(LINK) $(LIB_LIBS)' >$@

$(BUILD)/obj/src/%.o: src/%.c $(BUILD)/flags
	@mkdir -p $(@D)
	$(if $(Q),@echo "  CC    $<")
	$(Q)$(COMPILE) -c -o $@ $<

# Only this one knows where the data files will be installed.
DATA_DIR = -DFG_DATA_DIR='"$(PREFIX)/share/flourgold"'
$(BUILD)/data_dir: FORCE
	@mkdir -p $(@D)
	@echo "$(DATA_DIR)" | cmp -s - $@ || echo "$(DATA_DIR)" >$@
$(BUILD)/obj/src/input/datadir.o: private COMPILE += $(DATA_DIR)
$(BUILD)/obj/src/input/datadir.o: $(BUILD)/data_dir

$(BUILD)/obj/tests/%.o: tests/%.c $(BUILD)/flags
	@mkdir -p $(@D)
	$(if $(Q),@echo "  CC    $<")
	$(Q)$(COMPILE_TEST) -c -o $@ $<

# Removed first, so that no object of a deleted source stays in an archive.
$(LIBRARY): $(LIBRARY_OBJECTS)
$(ARCHIVE): $(ARCHIVE_OBJECTS)
$(SUPPORT): $(SUPPORT_OBJECTS)
$(LIBRARY) $(ARCHIVE) $(SUPPORT):
	@mkdir -p $(@D)
	$(if $(Q),@echo "  AR    $@")
	$(Q)rm -f $@ && $(AR) rcs $@ $^

$(SHARED): $(LIBRARY_OBJECTS) $(EXPORTS)
	$(if $(Q),@echo "  LINK  $@")
	$(Q)$(LINK_SHARED) -o $@ $(LIBRARY_OBJECTS) $(LIBRARY_LIBS)

$(PROGRAM): $(MAIN_OBJECT) $(ARCHIVE)
	$(if $(Q),@echo "  LINK  $@")
	$(Q)$(LINK) -o $@ $^ $(LIB_LIBS)
	@: >$(@D)/.flourgold-build # data files above are this tree's: src/input/datadir.c

$(RUNNER): $(BUILD)/obj/tests/runner.o $(SUPPORT)
	$(if $(Q),@echo "  LINK  $@")
	$(Q)$(LINK) -o $@ $^ $(TEST_LIBS)

$(REGRESSION): $(BUILD)/obj/tests/regression/regression.o $(SUPPORT)
	$(if $(Q),@echo "  LINK  $@")
	$(Q)$(LINK) -o $@ $^ $(TEST_LIBS) -lm

$(UNIT_PROGRAMS): $(BUILD)/tests/%: $(BUILD)/obj/tests/unit/%.o $(SUPPORT) $(ARCHIVE)
	$(if $(Q),@echo "  LINK  $@")
	$(Q)$(LINK) -o $@ $^ $(LIB_LIBS) $(TEST_LIBS)

$(REPLAY): $(BUILD)/obj/tests/fuzz/replay.o $(BUILD)/obj/tests/fuzz/fuzz.o $(ARCHIVE)
	$(if $(Q),@echo "  LINK  $@")
	$(Q)$(LINK) -o $@ $^ $(LIB_LIBS)

$(FUZZER): $(BUILD)/obj/tests/fuzz/fuzzer.o $(BUILD)/obj/tests/fuzz/fuzz.o $(ARCHIVE)
	$(if $(Q),@echo "  LINK  $@")
	$(Q)$(LINK) -fsanitize=fuzzer -o $@ $^ $(LIB_LIBS)

$(BENCH_PROGRAMS): $(BUILD)/bench/%: $(BUILD)/obj/tests/bench/%.o $(ARCHIVE)
	@mkdir -p $(@D)
	$(if $(Q),@echo "  LINK  $@")
	$(Q)$(LINK) -o $@ $^ $(LIB_LIBS)

# Manual pages and completion, made from the program's tables by a program of their own.
COMMANDS := $(shell sed -n 's/^ *\.name = "\(.*\)",$$/\1/p' src/cli/commands.c)
MAN_PAGES := flourgold.1 $(COMMANDS:%=flourgold-%.1) flourgold-scenario.5 flourgold-topics.7

$(MAKEDOCS): $(MAKEDOCS_OBJECT) $(ARCHIVE)
	$(if $(Q),@echo "  LINK  $@")
	$(Q)$(LINK) -o $@ $^ $(LIB_LIBS)

# Their date is that of the version, or SOURCE_DATE_EPOCH.
$(DOCS)/made: $(MAKEDOCS) src/docs/completion.bash src/docs/completion.zsh
	@mkdir -p $(DOCS)
	$(if $(Q),@echo "  DOCS  $(DOCS)")
	$(Q)$(MAKEDOCS) man $(DOCS)
	$(Q)$(MAKEDOCS) bash >$(DOCS)/flourgold && cat src/docs/completion.bash >>$(DOCS)/flourgold
	$(Q)$(MAKEDOCS) zsh >$(DOCS)/_flourgold && cat src/docs/completion.zsh >>$(DOCS)/_flourgold
	@touch $@

docs: $(DOCS)/made ## make the manual pages and the completion of bash and zsh

-include $(OBJECTS:.o=.d)

# ---- Working ----------------------------------------------------------------------------

PICTURES := loss settling riffles operating deck

demo: $(PROGRAM) ## run the main job on configs/demo.cfg and draw its pictures
	@mkdir -p $(BUILD)/demo
	@$(PROGRAM) loss configs/demo.cfg
	@set -e; for name in $(PICTURES); do for type in svg png; do \
	  $(PROGRAM) plot $$name configs/demo.cfg -o $(BUILD)/demo/$$name.$$type; \
	done; done
	@echo
	@echo "The pictures are in $(BUILD)/demo:"
	@set -e; for name in $(PICTURES); do echo "  $(BUILD)/demo/$$name.svg  $(BUILD)/demo/$$name.png"; done

# Only here: the sanitized build has other flags anyway.
NUMBERS := tests/regression/numbers.txt
test: EXTRA_JOBS = 'tests/scripts/flags.sh $(PROGRAM) $(BUILD)/plain' \
  'tests/scripts/answers.sh $(PROGRAM)' 'tests/scripts/endings.sh $(PROGRAM)' 'tests/scripts/readme.sh $(PROGRAM)' '$(REGRESSION) $(NUMBERS)' \
  tests/scripts/headers.sh tests/scripts/packages.sh 'tests/scripts/nulls.py $(PROGRAM)' \
  'tests/scripts/interview.py $(PROGRAM)' 'tests/scripts/progress.py $(PROGRAM)' \
  'tests/scripts/same_answers.py $(PROGRAM)' \
  'tests/scripts/completion.bash $(PROGRAM) $(DOCS)' 'timeout 120 tests/scripts/completion.zsh $(DOCS)' \
  'tests/scripts/exports.sh $(SHARED) $(EXPORTS) $(LIBRARY)' tests/scripts/install.sh
test: run-tests ## run every test; the last line gives the counts (VERBOSE=1: all output)

test-programs: $(PROGRAM) $(RUNNER) $(REGRESSION) $(UNIT_PROGRAMS) $(REPLAY) ## build the tests without running them

# The jobs of `make test` alone install, too: what that needs is built before they start.
run-tests: test-programs $(DOCS)/made | $(if $(filter test,$(GOALS)),$(LIBRARY) $(SHARED))
	@FLOURGOLD=$(PROGRAM) FLOURGOLD_DATA=$(CURDIR) FG_RUNNER=$(RUNNER) .ci/tests $(BUILD)/tests/logs \
	  $(EXTRA_JOBS) 'tests/scripts/docs.sh $(PROGRAM) $(MAKEDOCS)' '$(REPLAY) tests/fuzz/seeds' $(UNIT_PROGRAMS) $(foreach file,$(CHECK_FILES),'$(RUNNER) $(file)')

regression: $(PROGRAM) $(REGRESSION) ## compare our own figures with those on record (no proof of truth)
	@FLOURGOLD=$(PROGRAM) $(REGRESSION) $(NUMBERS)

regression-update: $(PROGRAM) $(REGRESSION) ## put our figures of today on record: look at the difference first
	@FLOURGOLD=$(PROGRAM) $(REGRESSION) --update $(NUMBERS)

# abort_on_error: a finding must not look like one of the program's own exit values.
test-sanitize: | tools ## the same tests under the address and undefined-behaviour sanitizers
	@ASAN_OPTIONS=abort_on_error=1:detect_leaks=1:strict_string_checks=1 \
	UBSAN_OPTIONS=abort_on_error=1:print_stacktrace=1 \
	  $(MAKE) BUILD=$(BUILD)/sanitize OPT='$(SANITIZE)' FG_TEST_SLOWER=5 run-tests

test-oracle: $(PROGRAM) ## compare with independent codes (python3-fluids, python3-scipy)
	@FLOURGOLD=$(PROGRAM) .ci/tests $(BUILD)/tests/oracle-logs \
	  $(foreach file,$(ORACLES),'$(PYTHON) $(file)')

FUZZ_SECONDS ?= 60
FUZZ_TARGETS ?= scenario set catalogue weather counts readings gpx answers quantity
dictionary = tests/fuzz/dictionaries/$(or $(filter gpx,$(1)),$(if $(filter weather counts readings,$(1)),table),text).dict

# What a finding was made of lies in BUILD/fuzz; once mended it goes to tests/fuzz/seeds.
fuzz: | tools ## arbitrary bytes into every reader (clang; FUZZ_SECONDS=60 a target, FUZZ_TARGETS)
	@$(MAKE) BUILD=$(BUILD)/fuzz CC=clang OPT='$(SANITIZE) -fsanitize=fuzzer-no-link -Wno-double-promotion' $(BUILD)/fuzz/fuzzer
	@set -e; $(foreach target,$(FUZZ_TARGETS),mkdir -p $(BUILD)/fuzz/corpus/$(target); echo "== $(target)"; \
	  FG_FUZZ_TARGET=$(target) $(BUILD)/fuzz/fuzzer -max_total_time=$(FUZZ_SECONDS) -timeout=20 \
	  -max_len=6000 -verbosity=0 -print_final_stats=1 -dict=$(call dictionary,$(target)) \
	  -artifact_prefix=$(BUILD)/fuzz/$(target)- $(BUILD)/fuzz/corpus/$(target) tests/fuzz/seeds/$(target);)

# Gcovr knows the lines; what the tests print is shown only when they fail.
coverage: | tools ## run the tests in a build that counts lines; fails below 95 % of src
	@find $(BUILD)/coverage -name '*.gcda' -delete 2>/dev/null || true
	@$(MAKE) BUILD=$(BUILD)/coverage OPT=-O1 CFLAGS=--coverage FG_TEST_SLOWER=5 run-tests
	@gcovr --root . --filter src/ --object-directory $(BUILD)/coverage --json-summary \
	  --output $(BUILD)/coverage/lines.json $(BUILD)/coverage/obj/src
	@$(PYTHON) tests/scripts/coverage.py $(BUILD)/coverage/lines.json

# A case that is there already is not run again.
grains: | tools ## simulate strips of the bed grain by grain (lammps; ten minutes on two processors)
	@PYTHON='$(PYTHON)' tests/grains/run $(BUILD)/grains $(CASES)
	@diff -u tests/grains/results.txt $(BUILD)/grains/results.txt || echo 'What moved is shown; cp $(BUILD)/grains/results.txt tests/grains/ if it is right.'

MUTANTS ?= 200
SEED ?= 1
PATIENCE ?= 0

mutants: | tools ## change the source in MUTANTS=200 places (SEED=1), one at a time: do tests notice?
	@$(PYTHON) tests/scripts/mutants.py --count $(MUTANTS) --seed $(SEED) --patience $(PATIENCE)

mutants-named: | tools ## the changes that the figures on record must notice
	@$(PYTHON) tests/scripts/mutants.py --named tests/regression/mutants.list

GUARD = CC='$(CC)' tests/bench/guard
bench-guard: $(PROGRAM) $(BENCH_PROGRAMS) ## count instructions: 3 % above the record fails
	@$(GUARD) $(PROGRAM) $(BUILD)/bench/bench tests/bench/instructions.txt

bench-guard-update: $(PROGRAM) $(BENCH_PROGRAMS) ## put today's instruction counts on record
	@$(GUARD) --update $(PROGRAM) $(BUILD)/bench/bench tests/bench/instructions.txt

bench: $(PROGRAM) $(BENCH_PROGRAMS) ## time the parts beside two yardsticks, on one thread and two
	@set -e; for program in $(BENCH_PROGRAMS); do \
	  BENCH_PROGRAM=$(PROGRAM) PYTHON='$(PYTHON)' $$program; \
	done

# ---- Lint -------------------------------------------------------------------------------

ALL_C := $(SOURCES) $(HEADERS) $(TEST_SOURCES) $(TEST_HEADERS)

lint: lint-format lint-layers lint-tidy ## look for mistakes (clang-tidy), check layout and layers

lint-format: | tools
	@clang-format --dry-run -Werror $(ALL_C)

# No folder of src uses one above it.
lint-layers: $(ARCHIVE) $(MAIN_OBJECT) $(MAKEDOCS_OBJECT)
	@.ci/layers $(ARCHIVE_OBJECTS) $(MAIN_OBJECT) $(MAKEDOCS_OBJECT)

lint-tidy: $(patsubst %.c,$(BUILD)/lint/%.ok,$(SOURCES) $(TEST_SOURCES))

$(BUILD)/lint/%.ok: %.c $(HEADERS) $(TEST_HEADERS) .clang-tidy | tools
	@mkdir -p $(@D)
	$(if $(Q),@echo "  TIDY  $<")
	$(Q)clang-tidy --quiet $< -- $(LANGUAGE) -Itests/support -DFG_DATA_DIR='"/"' \
	  $(LIB_CFLAGS) $(TEST_CFLAGS) 2>$@.err || { cat $@.err >&2; exit 1; }
	@rm -f $@.err && touch $@

format: | tools ## lay the source out with clang-format
	@clang-format -i $(ALL_C)

# ---- Installing -------------------------------------------------------------------------

BINDIR ?= $(PREFIX)/bin
LIBDIR ?= $(PREFIX)/lib
INCLUDEDIR ?= $(PREFIX)/include
DATADIR := $(PREFIX)/share/flourgold
DOCDIR := $(PREFIX)/share/doc/flourgold
MANDIR := $(PREFIX)/share/man

# Everything that is installed: mode,source,target; mode "link" makes target a link to source.
# uninstall removes these, then the folders below, as far as they are empty.
INSTALLED = 755,$(PROGRAM),$(BINDIR)/flourgold \
  $(foreach file,$(wildcard configs/* plots/*),644,$(file),$(DATADIR)/$(file)) \
  $(INSTALLED_DOCS) $(INSTALLED_LIBRARY)
OWN_FOLDERS = $(DATADIR)/configs $(DATADIR)/plots $(DATADIR) $(INCLUDEDIR)/flourgold $(DOCDIR)

INSTALLED_DOCS = \
  $(foreach page,$(MAN_PAGES),644,$(DOCS)/$(page),$(MANDIR)/man$(subst .,,$(suffix $(page)))/$(page)) \
  644,$(DOCS)/flourgold,$(PREFIX)/share/bash-completion/completions/flourgold \
  644,$(DOCS)/_flourgold,$(PREFIX)/share/zsh/site-functions/_flourgold \
  $(foreach file,COPYING README.md,644,$(file),$(DOCDIR)/$(file))

INSTALLED_LIBRARY = 644,$(LIBRARY),$(LIBDIR)/libflourgold.a \
  644,$(SHARED),$(LIBDIR)/$(notdir $(SHARED)) \
  link,$(notdir $(SHARED)),$(LIBDIR)/$(SONAME) link,$(SONAME),$(LIBDIR)/libflourgold.so \
  644,$(BUILD)/flourgold.pc,$(LIBDIR)/pkgconfig/flourgold.pc \
  $(foreach file,$(wildcard include/flourgold/*.h),644,$(file),$(INCLUDEDIR)/flourgold/$(notdir $(file)))

# Written anew each time, because the folders may have changed.
define PC_FILE
prefix=$(PREFIX)
libdir=$(patsubst $(PREFIX)/%,$${prefix}/%,$(LIBDIR))
includedir=$(patsubst $(PREFIX)/%,$${prefix}/%,$(INCLUDEDIR))

Name: flourgold
Description: Separation of placer gold from dry gravel in a blower-driven riffled tray
Version: $(VERSION)
Requires.private: $(LIBRARY_PACKAGES)
Libs: -L$${libdir} -lflourgold
Libs.private: -fopenmp -lm
Cflags: -I$${includedir}
endef

$(BUILD)/flourgold.pc: FORCE
	@mkdir -p $(@D)
	$(file >$@,$(PC_FILE))

install: all $(BUILD)/flourgold.pc ## install below PREFIX (/usr/local); DESTDIR is put before it
	@set -e; for entry in $(INSTALLED); do \
	  IFS=,; set -- $$entry; unset IFS; echo "  INSTALL  $(DESTDIR)$$3"; \
	  case $$1 in \
	  link) ln -sf "$$2" "$(DESTDIR)$$3" ;; \
	  *) install -D -m "$$1" "$$2" "$(DESTDIR)$$3" ;; \
	  esac; \
	done

uninstall: ## remove what install put there, and nothing else
	@set -e; for entry in $(INSTALLED); do \
	  rm -f "$(DESTDIR)$${entry##*,}"; \
	done; \
	for folder in $(OWN_FOLDERS); do \
	  [ ! -d "$(DESTDIR)$$folder" ] || rmdir --ignore-fail-on-non-empty "$(DESTDIR)$$folder"; \
	done

# The program and all that belongs to it; who builds on the library takes `make install`.
DEB_ROOT = $(abspath $(BUILD)/deb/root)
deb: | tools ## make a Debian package of the program: BUILD/flourgold_VERSION_ARCHITECTURE.deb
	@rm -rf $(DEB_ROOT) $(BUILD)/flourgold_*.deb
	@$(MAKE) BUILD=$(BUILD)/deb PREFIX=/usr DESTDIR=$(DEB_ROOT) INSTALLED_LIBRARY= install
	@.ci/deb $(DEB_ROOT) $(VERSION) $(BUILD)

deb-trial: deb ## install the package in a bare Debian tree, try it there and remove it (as root)
	@.ci/deb-trial $(BUILD)/flourgold_*.deb

clean: ## remove everything that was built
	rm -rf $(BUILD)

help: ## show this list
	@sed -n 's/^\([a-z-]*\):.*## \(.*\)/  \1|\2/p' $(firstword $(MAKEFILE_LIST)) | \
	  awk -F'|' '{ printf "%-16s%s\n", $$1, $$2 }'
	@echo '  demo, test and lint install missing packages first (INSTALL=no: name them only). Variables: INSTALL, BUILD, OPT, CFLAGS, LDFLAGS, CC, PREFIX, DESTDIR, V=1'
