#include "base/near.h"

#include <string.h>

#include "base/text.h"

enum { LEAST_WORD = 3, LEAST_START = 4 };

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (unsigned char)c >= 0x80;
}

static bool is_of_word(char c)
{
    return is_letter(c) || (c >= '0' && c <= '9');
}

static char folded(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* The next word from *at on, which moves to its end; its length, 0 when there is none. */
static size_t next_word(const char *text, size_t *at, size_t *length)
{
    size_t start = *at;
    while (text[start] && !is_of_word(text[start]))
        start++;
    size_t end = start;
    while (is_of_word(text[end]))
        end++;
    *length = end - start;
    *at = end;
    return start;
}

static bool says_something(const char *word, size_t length)
{
    bool letter = false;
    for (size_t i = 0; i < length; i++)
        letter = letter || is_letter(word[i]);
    return letter && length >= LEAST_WORD;
}

static bool same_word(const char *a, size_t n, const char *b, size_t m)
{
    size_t shorter = n < m ? n : m;
    if (n != m && shorter < LEAST_START)
        return false;
    for (size_t i = 0; i < shorter; i++)
        if (folded(a[i]) != folded(b[i]))
            return false;
    return true;
}

static bool has_word(const char *name, const char *word, size_t length)
{
    size_t at = 0, n;
    for (size_t start = next_word(name, &at, &n); n; start = next_word(name, &at, &n))
        if (same_word(name + start, n, word, length))
            return true;
    return false;
}

/* How many words of `asked` a name has. */
static size_t shared_words(const char *asked, const char *name)
{
    size_t at = 0, length, shared = 0;
    for (size_t start = next_word(asked, &at, &length); length;
         start = next_word(asked, &at, &length))
        if (says_something(asked + start, length) && has_word(name, asked + start, length))
            shared++;
    return shared;
}

PoiseNear poise_near_names(const char *asked, const char *const *names, size_t n)
{
    PoiseNear near = {0};
    const char *slip = poise_nearest(asked, names, n);
    if (slip) {
        near.names[near.count++] = slip;
        return near;
    }
    size_t most = 1;
    for (size_t i = 0; i < n; i++) {
        size_t shared = shared_words(asked, names[i]);
        if (shared < most)
            continue;
        if (shared > most)
            near.count = 0;
        most = shared;
        if (near.count < POISE_NEAR_SHOWN)
            near.names[near.count] = names[i];
        near.count++;
    }
    return near;
}

bool poise_near_hint(const PoiseNear *near, char **hint)
{
    PoiseText text = {0};
    *hint = NULL;
    if (near->count == 0 || near->count > POISE_NEAR_SHOWN)
        return true;
    poise_text_append(&text, "did you mean ");
    for (size_t i = 0; i < near->count; i++) {
        const char *between = i + 1 == near->count ? " or " : ", ";
        poise_text_printf(&text, "%s\"%s\"", i ? between : "", near->names[i]);
    }
    poise_text_append(&text, "?");
    *hint = poise_text_take(&text);
    return *hint != NULL;
}

void poise_near_append_words(PoiseText *text, const char *of)
{
    size_t at = 0, length;
    for (size_t start = next_word(of, &at, &length); length; start = next_word(of, &at, &length)) {
        poise_text_append(text, " ");
        poise_text_append_n(text, of + start, length);
    }
}
