# Shall. `make help` lists the targets. Sources are found by wildcard: a file that is added is built.
#
# variables   BUILD=build      where everything lands
#             MODE=release     or debug, asan, cover, clang, fuzz; each has its own folder in $(BUILD)
#             WERROR=1         a warning is an error (as in CI)
#             JOBS=n           how many commands at once (all cores)
#             SETUP=no         do not look for missing packages
#             PREFIX, DESTDIR  for install

BUILD  ?= build
MODE   ?= release
WERROR ?= 0
SETUP  ?= yes
PREFIX ?= /usr/local
JOBS   := $(shell nproc 2>/dev/null || echo 1)
FUZZ_SECONDS ?= 30

ifeq ($(origin CC),default)
CC := $(if $(filter clang fuzz,$(MODE)),clang,gcc)
endif
ifeq ($(MAKELEVEL),0)
MAKEFLAGS += -j$(JOBS)
endif
MAKEFLAGS += --no-builtin-rules --no-print-directory
SHELL := /bin/bash
.SHELLFLAGS := -euo pipefail -c
.SUFFIXES:
.DELETE_ON_ERROR:
.DEFAULT_GOAL := all

OUT := $(if $(filter release,$(MODE)),$(BUILD),$(BUILD)/$(MODE))
GEN := $(BUILD)/gen

# ---- flags --------------------------------------------------------------------------------------

WARN := -Wall -Wextra -Wpedantic
# one name, one thing
WARN += -Wshadow -Wredundant-decls -Wundef
# no silent change of a number
WARN += -Wconversion -Wsign-conversion -Wdouble-promotion
# what is declared is declared once, in full
WARN += -Wstrict-prototypes -Wmissing-prototypes -Wold-style-definition
# what a format string, a pointer or an array may be
WARN += -Wformat=2 -Wvla -Wpointer-arith -Wcast-qual -Wwrite-strings -Wnull-dereference
# a forgotten kind of node is found by the compiler
WARN += -Wswitch-enum -Wimplicit-fallthrough
# the same source gives the same program
WARN += -Wdate-time
ifneq (,$(findstring clang,$(CC)))
WARN += -Wcomma -Wmissing-variable-declarations -Wunreachable-code -Wextra-semi-stmt
else
WARN += -Wcast-align=strict -Wlogical-op -Wduplicated-cond -Wduplicated-branches \
  -Wjump-misses-init -Walloca -Wstringop-overflow=4 -Warray-bounds=2 -Wuse-after-free=3 \
  -Wdangling-pointer=2 -Wbidi-chars=any -Wtrampolines
endif
# What flex and bison write themselves does not meet these; nothing else is relaxed for it.
NOT_GENERATED := -Wswitch-enum -Wredundant-decls -Wnull-dereference -Wextra-semi-stmt \
  -Wunreachable-code
# Check's macros and the list of suites do not meet these.
NOT_TESTS := -Wmissing-prototypes -Wredundant-decls -Wunreachable-code -Wextra-semi-stmt

HARDEN := -U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=3 -fstack-protector-strong -fstack-clash-protection \
  -fcf-protection=full
ifeq ($(MODE),release)
  OPT := -O2 -g $(HARDEN)
else ifeq ($(MODE),clang)
  OPT := -O2 -g $(HARDEN)
else ifeq ($(MODE),debug)
  OPT := -O0 -g3
else ifeq ($(MODE),asan)
  OPT := -O1 -g -fno-omit-frame-pointer -fsanitize=address,undefined -fno-sanitize-recover=all
else ifeq ($(MODE),cover)
  OPT := -O0 -g --coverage
else ifeq ($(MODE),fuzz)
  OPT := -O1 -g -fno-omit-frame-pointer -fsanitize=fuzzer-no-link,address,undefined \
    -fno-sanitize-recover=all
else
  $(error MODE is release, debug, asan, cover, clang or fuzz, not '$(MODE)')
endif

# pkg-config is asked when a command first needs the answer, which is after setup has run.
once = $(eval $1 := $$(shell $2))$($1)
LIBS = yaml-0.1 jansson nettle mpfr gmp
PKG_CFLAGS   = $(call once,PKG_CFLAGS,pkg-config --cflags $(LIBS) 2>/dev/null)
PKG_LIBS     = $(call once,PKG_LIBS,pkg-config --libs $(LIBS) 2>/dev/null || echo -lyaml -ljansson -lnettle -lmpfr -lgmp)
CHECK_CFLAGS = $(call once,CHECK_CFLAGS,pkg-config --cflags check 2>/dev/null)
CHECK_LIBS   = $(call once,CHECK_LIBS,pkg-config --libs check 2>/dev/null || echo -lcheck -lsubunit -lm -lrt -lpthread)

STD   := -std=c11 -D_POSIX_C_SOURCE=200809L -Ilang -Ilang/include -I$(GEN)
# Sanitizers change what the optimiser sees, hence what it warns of: those modes only warn.
ERROR := $(if $(filter 1,$(WERROR)),$(if $(filter release clang debug,$(MODE)),-Werror))
FLAGS  = $(STD) $(OPT) -fPIE -ffile-prefix-map=$(CURDIR)=. $(PKG_CFLAGS) $(CPPFLAGS) $(CFLAGS)
LINK   = $(CC) $(OPT) -pie -Wl,-z,relro,-z,now,-z,noexecstack,--as-needed $(CFLAGS) $(LDFLAGS)

# ---- files --------------------------------------------------------------------------------------

SRC   := $(sort $(wildcard lang/*/*.c))
GEN_C := $(patsubst lang/syntax/%.y,$(GEN)/%.c,$(wildcard lang/syntax/*.y)) \
         $(patsubst lang/syntax/%.l,$(GEN)/%.c,$(wildcard lang/syntax/*.l))
GEN_H := $(GEN_C:.c=.h)
HAND_LIB := $(filter-out lang/command/%,$(SRC))
LIB_OBJ  := $(HAND_LIB:lang/%.c=$(OUT)/obj/%.o) $(GEN_C:$(GEN)/%.c=$(OUT)/obj/gen/%.o)
CMD_OBJ  := $(patsubst lang/%.c,$(OUT)/obj/%.o,$(filter lang/command/%,$(SRC)))
CMD_TESTED := $(filter-out %/main.o,$(CMD_OBJ))

UNIT_SRC := $(sort $(wildcard tests/unit/*.c))
UNIT_OBJ := $(UNIT_SRC:tests/%.c=$(OUT)/obj/tests/%.o)
SUITES   := $(patsubst tests/unit/test_%.c,%,$(filter tests/unit/test_%.c,$(UNIT_SRC)))
PROPERTY := $(patsubst tests/%.c,$(OUT)/tests/%,$(wildcard tests/property/*.c))
BENCHES  := $(patsubst tests/%.c,$(OUT)/tests/%,$(wildcard tests/bench/*.c))
FUZZERS  := $(patsubst tests/%.c,$(OUT)/tests/%,$(wildcard tests/fuzz/fuzz_*.c))

# ---- program ------------------------------------------------------------------------------------

.PHONY: all
all: $(OUT)/libshall.a $(if $(CMD_OBJ),$(OUT)/shall)  ## build the library and the program

$(OUT)/libshall.a: $(LIB_OBJ) $(OUT)/obj/members
	@echo "  AR   $@"; rm -f $@; ar qcs $@ $(LIB_OBJ)

$(OUT)/shall: $(CMD_OBJ) $(OUT)/libshall.a
	@echo "  LD   $@"; $(LINK) -o $@ $^ $(PKG_LIBS)

# Objects follow the flags, the library its members: a build with others builds anew.
if_new = if cmp -s $@.new $@; then rm $@.new; else mv $@.new $@; fi
$(OUT)/flags: always | setup-build
	@mkdir -p $(@D); echo '$(CC) $(FLAGS) $(WARN) $(ERROR)' >$@.new; $(if_new)
$(OUT)/obj/members: always
	@mkdir -p $(@D); printf '%s\n' $(LIB_OBJ) >$@.new; $(if_new)

$(OUT)/obj/%.o: lang/%.c $(OUT)/flags | $(GEN_H)
	@echo "  CC   $<"; mkdir -p $(@D); $(CC) $(FLAGS) $(WARN) $(ERROR) -MMD -MP -c -o $@ $<

$(OUT)/obj/gen/%.o: $(GEN)/%.c $(OUT)/flags | $(GEN_H)
	@echo "  CC   $<"; mkdir -p $(@D); \
	$(CC) $(FLAGS) -Ilang/syntax $(filter-out $(NOT_GENERATED),$(WARN)) $(ERROR) -MMD -MP -c -o $@ $<

$(GEN)/%.c $(GEN)/%.h &: lang/syntax/%.y | setup-build
	@echo "  YACC $<"; mkdir -p $(@D); \
	bison -Wall -Werror -Wcounterexamples --output=$(GEN)/$*.c --header=$(GEN)/$*.h $<

$(GEN)/%.c $(GEN)/%.h &: lang/syntax/%.l | setup-build
	@echo "  LEX  $<"; mkdir -p $(@D); flex --outfile=$(GEN)/$*.c --header-file=$(GEN)/$*.h $<

.PHONY: demo
demo: all  ## build, then review the demo trailer and compare the demo counties
	@echo "$$ shall review specs/lantern-noodle.yaml"
	@status=0; $(OUT)/shall review specs/lantern-noodle.yaml || status=$$?; \
	echo; echo "exit status $$status (0 complies, 1 corrections, 2 information required)"; \
	[ $$status -le 2 ]
	@echo; echo "$$ shall compare quillmark osprey_fork --topic opening.service"
	@status=0; $(OUT)/shall compare quillmark osprey_fork --on 2025-09-15 --topic opening.service \
	    || status=$$?; [ $$status -le 1 ]

# ---- tests --------------------------------------------------------------------------------------

.PHONY: check check-build unit
check: check-build  ## every test; ends with Check's summary line, which counts each test set too
	@OUT=$(OUT) JOBS=$(JOBS) tests/run-all

check-build: all $(PROPERTY) | setup-test
	@$(if $(UNIT_SRC),$(MAKE) $(OUT)/tests/unit,:)

unit: check-build  ## the unit tests alone
	@$(OUT)/tests/unit

$(OUT)/tests/unit: $(UNIT_OBJ) $(CMD_TESTED) $(OUT)/libshall.a
	@echo "  LD   $@"; mkdir -p $(@D); $(LINK) -o $@ $^ $(CHECK_LIBS) $(PKG_LIBS)

$(OUT)/obj/tests/unit/%.o: tests/unit/%.c $(OUT)/flags $(OUT)/obj/tests/suites.h | $(GEN_H) setup-test
	@echo "  CC   $<"; mkdir -p $(@D); $(CC) $(FLAGS) $(CHECK_CFLAGS) -I$(OUT)/obj/tests \
	  $(filter-out $(NOT_TESTS),$(WARN)) $(ERROR) -MMD -MP -c -o $@ $<

# tests/unit/test_X.c brings `Suite *X_suite(void)`; the list follows the names of the files.
$(OUT)/obj/tests/suites.h: always
	@mkdir -p $(@D); printf '%s\n' $(foreach suite,$(SUITES),'SUITE($(suite))') >$@.new; $(if_new)

$(PROPERTY) $(BENCHES): $(OUT)/tests/%: tests/%.c $(OUT)/libshall.a $(OUT)/flags | $(GEN_H)
	@echo "  CC   $<"; mkdir -p $(@D); $(LINK) $(FLAGS) $(filter-out $(NOT_TESTS),$(WARN)) $(ERROR) \
	  -MMD -MP -MT $@ -MF $@.d -o $@ $< $(CMD_TESTED) $(OUT)/libshall.a $(PKG_LIBS)
$(PROPERTY) $(BENCHES): $(CMD_TESTED)

# The second evaluator that the property tests hold against the program; it shares no code with it.
check-build: $(OUT)/tests/oracle
$(OUT)/tests/oracle: $(wildcard tests/property/oracle/*.c) $(wildcard tests/property/oracle/*.h) $(OUT)/flags
	@echo "  CC   $@"; mkdir -p $(@D); $(LINK) $(FLAGS) $(WARN) $(ERROR) -o $@ $(filter %.c,$^) -ljansson -lgmp -lm

.PHONY: golden-update asan valgrind fuzz cover bench
golden-update: all | setup-test  ## rewrite what the cases expect (CASES="area/name ..." for some)
	@OUT=$(OUT) JOBS=$(JOBS) UPDATE=1 tests/run-cases $(CASES)

asan:  ## the whole test run with AddressSanitizer and UBSan
	@SLOW=1 $(MAKE) MODE=asan check

valgrind: check-build | setup-lint  ## unit tests and a spread of the cases under valgrind
	@OUT=$(OUT) JOBS=$(JOBS) tests/run-valgrind

fuzz: | setup-lint  ## run each fuzz driver for FUZZ_SECONDS (30)
	@$(MAKE) MODE=fuzz fuzz-build
	@OUT=$(BUILD)/fuzz JOBS=$(JOBS) FUZZ_SECONDS=$(FUZZ_SECONDS) tests/fuzz/run

.PHONY: fuzz-build
fuzz-build: $(FUZZERS)

$(FUZZERS): $(OUT)/tests/%: tests/%.c $(OUT)/libshall.a $(OUT)/flags | $(GEN_H)
	@echo "  CC   $<"; mkdir -p $(@D); $(CC) $(FLAGS) -fsanitize=fuzzer,address,undefined -pie \
	  $(filter-out $(NOT_TESTS),$(WARN)) -MMD -MP -MT $@ -MF $@.d -o $@ $< $(OUT)/libshall.a $(PKG_LIBS)

cover: | setup-lint  ## coverage of the whole test run, by file
	@rm -rf $(BUILD)/cover/obj; $(MAKE) MODE=cover check
	@gcovr --root . --object-directory $(BUILD)/cover --filter 'lang/' --gcov-ignore-parse-errors \
	  --html-details $(BUILD)/cover/index.html --txt $(BUILD)/cover/lines.txt --print-summary
	@awk '/^lang|^ /' $(BUILD)/cover/lines.txt; echo "by line: $(BUILD)/cover/index.html"

bench: all $(BENCHES)  ## measure, as ratios taken in one interleaved run
	@OUT=$(OUT) tests/bench/run

# ---- care of the source -------------------------------------------------------------------------

.PHONY: format lint
format: | setup-lint  ## lay the C files out (.clang-format)
	@find lang tests -name '*.[ch]' ! -path 'tests/cases/*' -exec clang-format -i {} +

LINTS := $(sort $(patsubst tests/lint/%.sh,%,$(wildcard tests/lint/*.sh)))
lint: all | setup-lint  ## format, analysers, and the rules of the house (make lint-NAME for one)
	@failed=; for name in clang $(LINTS); do $(MAKE) lint-$$name || failed+=" $$name"; done; \
	if [ -n "$$failed" ]; then echo "lint: FAILED:$$failed" >&2; exit 1; fi; echo "lint: all passed"

lint-clang: | setup-lint
	@$(MAKE) MODE=clang WERROR=1 all >$(BUILD)/lint-clang.log 2>&1 || { cat $(BUILD)/lint-clang.log; exit 1; }
	@echo "lint clang: ok"

.PHONY: lint-clang $(LINTS:%=lint-%)
$(LINTS:%=lint-%): lint-%: all | setup-lint
	@export OUT='$(OUT)' GEN='$(GEN)' JOBS='$(JOBS)' STD='$(STD) $(PKG_CFLAGS)' WARN='$(WARN)'; \
	tests/lint/$*.sh || { echo "lint $*: FAILED" >&2; exit 1; }; echo "lint $*: ok"

# ---- the rest -----------------------------------------------------------------------------------

.PHONY: install clean help always setup-build setup-test setup-lint
install: all  ## install below PREFIX (/usr/local), with DESTDIR before it
	install -D -m 755 $(OUT)/shall '$(DESTDIR)$(PREFIX)/bin/shall'
	install -D -m 644 $(OUT)/libshall.a '$(DESTDIR)$(PREFIX)/lib/libshall.a'
	install -D -m 644 -t '$(DESTDIR)$(PREFIX)/include' lang/include/*.h
	find rules -name '*.shall' | while read -r file; do \
	  install -D -m 644 "$$file" '$(DESTDIR)$(PREFIX)/share/shall'/"$$file"; done
	for page in $(wildcard docs/*.[1-8] docs/man/*.[1-8]); do \
	  install -D -m 644 -t '$(DESTDIR)$(PREFIX)/share/man/man'"$${page##*.}" "$$page"; done

clean:  ## remove what was built
	rm -rf '$(BUILD)'

help:  ## this list
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "  make %-14s %s\n", $$1, $$2 }' $(firstword $(MAKEFILE_LIST))
	@sed -n 's/^# \( *[a-zA-Z].*\)/  \1/p;/^$$/q' $(firstword $(MAKEFILE_LIST)) | tail -n +2

setup-build setup-test setup-lint: setup-%:
	@$(if $(filter yes,$(SETUP)),.ci/setup $*)
always:

-include $(patsubst %.o,%.d,$(LIB_OBJ) $(CMD_OBJ) $(UNIT_OBJ)) $(addsuffix .d,$(PROPERTY) $(BENCHES) $(FUZZERS))
