/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Numbers as a table holds them.  A number is read one way only or refused:
 * whether a mark is decimal or parts thousands is settled by the file's
 * separator and by its other numbers, never by the locale of the process.
 */
#include "records/csv_number.h"

#include "quantity/units.h"
#include "quantity/text.h"
#include "table_refusals.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

/* Digits around the one mark a number may have. */
typedef struct shape {
    size_t before;
    size_t after;
    char mark; /* '.', ',' or '\0' */
    bool leading_zero;
    bool exponent;
    size_t length; /* bytes that belong to the number; 0: none */
} shape;

/* A number being read. */
typedef struct number {
    const char *text;
    char shown[SW_SHOWN_BYTES];
    const sw_place *place;
    shape shape;
} number;

static size_t digits(const char *text)
{
    return strspn(text, "0123456789");
}

static size_t exponent_length(const char *text)
{
    size_t sign = 0;
    if (*text != 'e' && *text != 'E')
        return 0;
    sign = text[1] == '+' || text[1] == '-' ? 1 : 0;
    size_t count = digits(text + 1 + sign);
    return count ? 1 + sign + count : 0;
}

static shape scan(const char *text)
{
    shape s = {0};
    size_t at = *text == '+' || *text == '-' ? 1 : 0;
    s.leading_zero = text[at] == '0';
    s.before = digits(text + at);
    at += s.before;
    if (text[at] == '.' || text[at] == ',') {
        s.mark = text[at++];
        s.after = digits(text + at);
        at += s.after;
    }
    if (s.before + s.after == 0)
        return s;
    size_t exponent = exponent_length(text + at);
    s.exponent = exponent > 0;
    s.length = at + exponent;
    return s;
}

/* 1,200 but not 0,200 or 1200,5 or 1,200e3. */
static bool is_unclear(const shape *s)
{
    return s->mark && s->before >= 1 && s->before <= 3 && s->after == 3 &&
           !s->leading_zero && !s->exponent;
}

/* Bytes of a mark that parts thousands somewhere; 0 when it is none. */
static size_t group_mark(const char *text)
{
    static const char *const marks[] = {".",
                                        ",",
                                        " ",
                                        "'",
                                        "\xE2\x80\x99",
                                        "\xC2\xA0",
                                        "\xE2\x80\xAF",
                                        "\xE2\x80\x89"};
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++)
        if (!strncmp(text, marks[i], strlen(marks[i])))
            return strlen(marks[i]);
    return 0;
}

/*
 * Whether `text` is digits in groups of three, perhaps with decimals at the
 * end; `plain` (as long as text) then holds it without the group marks.
 */
static bool is_grouped(const char *text, char *plain)
{
    size_t groups = 0;
    const char *first_mark = text + digits(text);
    size_t written = digits(text);
    memcpy(plain, text, written);
    for (const char *at = first_mark; *at;) {
        size_t mark = group_mark(at);
        size_t count = mark ? digits(at + mark) : 0;
        bool same = mark && !strncmp(at, first_mark, mark);
        bool last = mark && at[mark + count] == '\0';
        bool decimals = !same && last && strchr(".,", *at) && groups > 0;
        if (count == 0 || (count != 3 && !decimals) || (!same && !decimals))
            return false;
        if (decimals)
            plain[written++] = '.';
        memcpy(plain + written, at + mark, count);
        written += count;
        at += mark + count;
        groups++;
    }
    plain[written] = '\0';
    return groups > 0 && first_mark > text && first_mark - text <= 3;
}

static bool starts(const char *text, const char *word)
{
    text += *text == '+' || *text == '-' ? 1 : 0;
    return strncasecmp(text, word, strlen(word)) == 0;
}

/* "NH4-N 1,1": a part of a label that a mark has cut. */
static bool is_of_text(const char *text)
{
    const char *last = text + strcspn(text, " ");
    last += strspn(last, " ");
    return isalpha((unsigned char)*text) && isdigit((unsigned char)*last);
}

static sw_status fail_word(const number *n, sw_error *error)
{
    if (starts(n->text, "nan") || starts(n->text, "inf"))
        return sw_fail_at(error, n->place, SW_BAD_CELL_INFINITE, n->shown);
    if (*n->text == '<')
        return sw_fail_at(error, n->place, SW_BAD_CELL_DETECTION_LIMIT,
                          n->shown);
    if (*n->text == '>')
        return sw_fail_at(error, n->place, SW_BAD_CELL_ABOVE_RANGE, n->shown);
    if (is_of_text(n->text))
        return sw_fail_at(error, n->place, SW_BAD_CELL_OF_TEXT, n->shown);
    return sw_fail_at(error, n->place, SW_BAD_CELL_NUMBER, n->shown);
}

/* "48 mg/L", "48mg/L", "15 %", but not "140-160" or "4O". */
static bool has_unit(const number *n)
{
    const char *rest = n->text + n->shape.length;
    return n->shape.length > 0 && !strpbrk(rest, "0123456789") &&
           (*rest == ' ' || *rest == '%' || strchr(rest, '/'));
}

static sw_status fail_shape(const number *n, sw_error *error)
{
    char plain[SW_SHOWN_BYTES];
    if (strlen(n->text) < sizeof plain && is_grouped(n->text, plain))
        return sw_fail_at(error, n->place, SW_BAD_CELL_THOUSANDS, n->shown,
                          plain);
    if (starts(n->text, "0x"))
        return sw_fail_at(error, n->place, SW_BAD_CELL_HEXADECIMAL, n->shown);
    if (!has_unit(n))
        return fail_word(n, error);
    return sw_fail_at(error, n->place, SW_BAD_CELL_GOES_ON, n->shown,
                      (int)n->shape.length, n->text);
}

/*
 * What an unclear number may mean, each in a form that reads one way: "1,2"
 * ("1,2340" for 1,234) and "1200".  Both hold 16 bytes.
 */
static void spell(const char *text, char mark, char *decimal, char *whole)
{
    const char *from = text + (*text == '+');
    int sign = *from == '-';
    int before = sign + (int)digits(from + sign);
    const char *after = from + before + 1;
    int kept = 3;
    while (kept > 0 && after[kept - 1] == '0')
        kept--;
    (void)snprintf(decimal, 16, "%.*s%c%.*s%s", before, from, mark,
                   kept ? kept : 1, after, kept == 3 ? "0" : "");
    (void)snprintf(whole, 16, "%.*s%.3s", before, from, after);
}

/* `mark` is the file's decimal mark for the first meaning. */
static sw_status fail_unclear(const char *text, const sw_place *place,
                              char mark, sw_error *error)
{
    char decimal[16];
    char whole[16];
    spell(text, mark, decimal, whole);
    return sw_fail_at(error, place, SW_BAD_CELL_TWO_WAYS, text, decimal, whole,
                      decimal, whole);
}

static sw_status fail_comma(const number *n, sw_error *error)
{
    if (is_unclear(&n->shape))
        return fail_unclear(n->text, n->place, '.', error);
    return sw_fail_at(error, n->place, SW_BAD_CELL_DECIMAL_COMMA, n->shown);
}

/* "1.062" beside a decimal comma: the point may part thousands. */
static bool may_part(const char *text, char whole[16])
{
    size_t digits = strspn(text, "0123456789");
    const char *rest = text + digits + (text[digits] != '\0');
    if (!digits || digits > 3 || *text == '0' ||
        strspn(rest, "0123456789") != 3 || rest[3])
        return false;
    (void)snprintf(whole, 16, "%.*s%.3s", (int)digits, text, rest);
    return true;
}

static sw_status fail_mixed(const sw_decimal_mark *decimal, const char *text,
                            const sw_place *place, sw_error *error)
{
    char whole[16];
    if (may_part(text, whole))
        return sw_fail_at(error, place, SW_BAD_CELL_BESIDE_LINE, text, whole,
                          decimal->mark == '.' ? "point" : "comma",
                          decimal->known.line, whole);
    return sw_fail_at(error, place, SW_BAD_CELL_OTHER_MARK, text,
                      decimal->mark == '.' ? "point" : "comma",
                      decimal->known.line,
                      decimal->mark == '.' ? "7.2" : "7,2");
}

static void keep(sw_unclear_number *unclear, const number *n)
{
    if (unclear->place.line)
        return;
    (void)snprintf(unclear->text, sizeof unclear->text, "%s", n->text);
    unclear->place = *n->place;
}

/* Where cells are separated by semicolons or tabs either mark may be decimal.
 */
static sw_status settle(sw_decimal_mark *decimal, const number *n,
                        sw_error *error)
{
    char mark = n->shape.mark;
    if (decimal->mark)
        return mark == decimal->mark
                   ? SW_OK
                   : fail_mixed(decimal, n->shown, n->place, error);
    if (is_unclear(&n->shape)) {
        keep(mark == '.' ? &decimal->point : &decimal->comma, n);
        return SW_OK;
    }
    decimal->mark = mark;
    decimal->known = *n->place;
    return SW_OK;
}

static sw_status check_mark(sw_decimal_mark *decimal, const number *n,
                            sw_error *error)
{
    if (!n->shape.mark)
        return SW_OK;
    if (decimal->separator != ',')
        return settle(decimal, n, error);
    return n->shape.mark == ',' ? fail_comma(n, error) : SW_OK;
}

sw_status sw_decimal_read(sw_decimal_mark *decimal, const char *text,
                          const sw_place *place, double *value, sw_error *error)
{
    number n = {.text = text, .place = place, .shape = scan(text)};
    sw_error cause;
    sw_shorten(text, n.shown);
    if (n.shape.length == 0 || text[n.shape.length])
        return fail_shape(&n, error);
    sw_status status = check_mark(decimal, &n, error);
    if (status)
        return status;
    if (sw_number_parse(text, n.shape.mark == ',', value, &cause))
        return sw_fail_at(error, place, SW_BAD_CELL_HUGE, n.shown);
    *value += 0.0; /* no negative zero */
    return SW_OK;
}

sw_status sw_decimal_finish(const sw_decimal_mark *decimal, sw_error *error)
{
    const sw_unclear_number *first = &decimal->point;
    const sw_unclear_number *other =
        decimal->mark == '.' ? &decimal->comma : &decimal->point;
    if (decimal->mark)
        return other->place.line
                   ? fail_mixed(decimal, other->text, &other->place, error)
                   : SW_OK;
    if (!first->place.line || (decimal->comma.place.line &&
                               decimal->comma.place.line < first->place.line))
        first = &decimal->comma;
    if (!first->place.line)
        return SW_OK;
    return fail_unclear(first->text, &first->place,
                        first == &decimal->point ? '.' : ',', error);
}
