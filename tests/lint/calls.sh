#!/usr/bin/env bash
# What the library may call, read from the objects. Below command/ nothing prints, ends the process,
# reads the environment, the clock or the locale; memory comes from the arena.
# environment: OUT
set -euo pipefail

# object (a pattern)     what it may call, for a reason
allowed='
base/arena.o      malloc calloc realloc free abort exit _exit fputs fprintf fwrite fputc stderr
base/source.o     malloc realloc free stdin
spec/*.o          malloc free
gen/*.o           malloc calloc realloc free exit abort fprintf fwrite fputc fputs putc getc stdin stdout stderr
'
forbidden='^(malloc|calloc|realloc|reallocarray|free|aligned_alloc|posix_memalign|str(n)?dup|(v)?asprintf|getline|open_memstream
|printf|vprintf|puts|putchar|perror|psignal|fprintf|vfprintf|dprintf|stdin|stdout|stderr
|exit|_exit|_Exit|quick_exit|abort|raise|kill|atexit
|getenv|secure_getenv|setenv|putenv|unsetenv|environ
|setlocale|localeconv|to(upper|lower)|is(alpha|alnum|digit|space|upper|lower|punct|print|xdigit)|__ctype_(b|tolower|toupper)_loc|strto[dfl]d?|ato[fil]|strcoll
|time|clock|clock_gettime|gettimeofday|localtime(_r)?|gmtime(_r)?|mktime|strftime|rand|srand|random|srandom
|system|popen|fork|execv[pe]*|execl[pe]*)$'
forbidden=${forbidden//$'\n'/}

bad=0
while read -r object; do
    name=${object#"$OUT/obj/"}
    may=' '
    while read -r pattern words; do
        # shellcheck disable=SC2053  # a pattern, not a text
        if [ -n "$pattern" ] && [[ $name == $pattern ]]; then may+="$words "; fi
    done <<<"$allowed"
    while read -r symbol; do
        plain=${symbol%_chk} # __printf_chk is printf, fortified; __isoc99_ and the like are left
        [ "$plain" = "$symbol" ] || plain=${plain#__}
        if [[ $plain =~ $forbidden ]] && [[ $may != *" $plain "* ]]; then
            echo "lang/${name%.o}: uses $plain"
            bad=1
        fi
    done < <(nm -u "$object" | awk '{ print $2 }')
done < <(find "$OUT/obj" -name '*.o' ! -path "$OUT/obj/command/*" ! -path "$OUT/obj/tests/*" \
    ! -path "$OUT/obj/prove/*" ! -path "$OUT/obj/editor/*" | sort)
exit "$bad"
