/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A cell of values as laboratories fill it: a number, a limit of detection, a
 * word, or a number with a letter or a unit after it.
 */
#include "records/lab.h"

#include "quantity/text.h"
#include "table_refusals.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

/* The marks a number is made of; a sign only at its start. */
static const char number_marks[] = "0123456789.,";

static sw_status fail_wordy(const sw_sheet *sheet, const sw_csv_cell *cell,
                            sw_error *error)
{
    char shown[SW_SHOWN_BYTES];
    const sw_place place = sw_csv_place(sheet->reader, cell);
    sw_shorten(cell->text, shown);
    if (sw_word_is(cell->text, SW_WORD_UNCLEAR))
        return sw_fail_at(error, &place, SW_BAD_LAB_BELOW_OR_UNMEASURED, shown);
    return sw_fail_at(error, &place, SW_BAD_LAB_VALUE, shown);
}

static sw_status take_number(const sw_sheet *sheet, const sw_csv_cell *cell,
                             const char *text, sw_lab_value *value,
                             sw_error *error)
{
    value->measured = value->has_number = true;
    return sw_csv_number(sheet->reader, cell, text, &value->number, error);
}

/* "-", "--", a dash of any kind. */
static bool is_dashes(const char *text)
{
    char c;
    while ((c = sw_text_next(&text)))
        if (c != '-' && c != ' ')
            return false;
    return true;
}

/* Copies without spaces, brackets and colons at the ends. */
static void cut(const char *from, size_t length, char *to, size_t size)
{
    sw_text_inner(from, length, " ()[]:", to, size);
}

/* The length of a sign of less: "<", "<=", "≤"; 0: none. */
static size_t less_length(const char *text)
{
    if (!strncmp(text, "\xE2\x89\xA4", 3))
        return 3;
    return *text != '<' ? 0 : text[1] == '=' ? 2 : 1;
}

/* "0.1 U", "104*", "48 mg/L": what follows the number says what it is; not the
 * start of a power of ten whose digits are lost, "1.2E+". */
static bool read_tail(const char *text, sw_lab_value *value, char number[64])
{
    char tail[48];
    size_t sign = *text == '-' || *text == '+';
    size_t length = sign + strspn(text + sign, number_marks);
    bool torn = tolower((unsigned char)text[length]) == 'e' &&
                text[length + 1] && strchr("+-", text[length + 1]);
    if (length == sign || !text[length] || length >= 64 || torn)
        return false;
    cut(text + length, strlen(text + length), tail, sizeof tail);
    (void)snprintf(number, 64, "%.*s", (int)length, text);
    bool below = sw_word_is(tail, SW_WORD_BELOW);
    value->below |= below;
    if (sw_is_reading_unit(tail) &&
        (strchr(tail, '/') || !isupper((unsigned char)tail[0])))
        memcpy(value->unit, tail, sizeof tail);
    return below || *value->unit || sw_word_is(tail, SW_WORD_KEPT) ||
           tail[strspn(tail, "*")] == '\0';
}

static sw_status fail_signs(const sw_sheet *sheet, const sw_csv_cell *cell,
                            const char *text, sw_error *error)
{
    char shown[SW_SHOWN_BYTES], limit[SW_SHOWN_BYTES];
    const sw_place place = sw_csv_place(sheet->reader, cell);
    sw_shorten(cell->text, shown);
    sw_shorten(text + strcspn(text, "0123456789"), limit);
    return sw_fail_at(error, &place, SW_BAD_LAB_SIGNS, shown, limit);
}

/* What follows a sign of less: a number, with or without a letter or a unit, or
 * the name of a limit. */
static sw_status read_limit(const sw_sheet *sheet, const sw_csv_cell *cell,
                            const char *text, sw_lab_value *value,
                            sw_error *error)
{
    char part[64];
    text += strspn(text, " ");
    value->below = value->measured = true;
    if (less_length(text) || *text == '>' || *text == '=')
        return fail_signs(sheet, cell, text, error);
    if (strpbrk(text, "0123456789"))
        return take_number(sheet, cell,
                           read_tail(text, value, part) ? part : text, value,
                           error);
    if (sw_word_is(text, SW_WORD_LIMIT) || sw_word_is(text, SW_WORD_BELOW))
        return SW_OK;
    return fail_wordy(sheet, cell, error);
}

/* "ND (0.05)", "<LOD (0,1)", "U 0.1": a word and the limit. */
static bool is_word_and_limit(const char *text, char limit[64])
{
    char word[64], kind[64];
    size_t head = strcspn(text, "0123456789");
    size_t less = less_length(text);
    if (!text[head] || head == less)
        return false;
    cut(text + less, head - less, word, sizeof word);
    sw_text_trim(word, "<=( ");
    size_t length = strlen(word);
    const char *inside = strchr(word, '('); /* "ND (DL 0.05)" */
    if (inside && sw_word_is(inside + 1, SW_WORD_LIMIT))
        length = (size_t)(inside - word);
    cut(word, length, kind, sizeof kind);
    cut(text + head, strlen(text + head), limit, 64);
    return sw_word_is(kind, SW_WORD_BELOW) ||
           (less && sw_word_is(kind, SW_WORD_LIMIT));
}

/* "70.0 ± 3.5", "ca. 30", "68-72", "7.0x10^1": what to write instead. */
static sw_status fail_more(const sw_sheet *sheet, const sw_csv_cell *cell,
                           const char *text, sw_error *error)
{
    char shown[SW_SHOWN_BYTES];
    const sw_place place = sw_csv_place(sheet->reader, cell);
    size_t start = strcspn(text, "0123456789");
    size_t length = strspn(text + start, number_marks);
    const char *rest = text + start + length;
    bool power = strstr(rest, "10") && strpbrk(rest, "xX*^\xC3");
    bool range = *rest == '-' && isdigit((unsigned char)rest[1]);
    sw_shorten(text, shown);
    if (power || (tolower((unsigned char)*rest) == 'e'))
        return sw_fail_at(error, &place, SW_BAD_LAB_POWER, shown);
    if (range)
        return sw_fail_at(error, &place, SW_BAD_LAB_RANGE, shown);
    return sw_fail_at(error, &place, SW_BAD_LAB_GOES_ON, shown, (int)length,
                      text + start);
}

/* Without odd spaces, which nobody sees, behind a sign and at the end; false
 * where it is too long. */
static bool trim(const char *text, char plain[128])
{
    size_t used = 0;
    size_t end = 0;
    bool begun = false; /* the number */
    while (*text) {
        const char *from = text;
        bool space = sw_text_next(&text) == ' ';
        size_t length = (size_t)(text - from);
        if (used + length >= 128)
            return false;
        begun |= isalnum((unsigned char)*from);
        if (space && !begun)
            continue;
        memcpy(plain + used, from, length);
        used += length;
        end = space ? end : used;
    }
    plain[end] = '\0';
    return true;
}

static sw_status value_of(const sw_sheet *sheet, const sw_csv_cell *cell,
                          sw_lab_value *value, sw_error *error)
{
    char part[64];
    char plain[128];
    const char *text = trim(cell->text, plain) ? plain : cell->text;
    *value = (sw_lab_value){0};
    if (!text[strspn(text, number_marks)] && *text)
        return take_number(sheet, cell, text, value, error);
    if (is_dashes(text) || sw_word_is(text, SW_WORD_UNMEASURED))
        return SW_OK;
    if (is_word_and_limit(text, part)) {
        value->below = true;
        return take_number(sheet, cell, part, value, error);
    }
    if (sw_word_is(text, SW_WORD_BELOW)) {
        value->measured = value->below = true;
        return SW_OK;
    }
    if (less_length(text))
        return read_limit(sheet, cell, text + less_length(text), value, error);
    if (read_tail(text, value, part))
        return take_number(sheet, cell, part, value, error);
    if (!strpbrk(text, "0123456789"))
        return fail_wordy(sheet, cell, error);
    sw_status status = take_number(sheet, cell, text, value, error);
    bool thousands = !text[strspn(text, "0123456789., ")];
    bool date = strchr(text, '-') != strrchr(text, '-');
    if (status != SW_ERR_SYNTAX || thousands || date)
        return status;
    bool more = strpbrk(text, " (~+^-") || strstr(text, "\xC2\xB1") ||
                strstr(text, "\xE2\x89\x88") ||
                (strpbrk(text, "xX\xC3") && strstr(text, "10"));
    bool other = strchr("-+=", *text) || !strncasecmp(text, "0x", 2);
    return more && !other ? fail_more(sheet, cell, text, error) : SW_ERR_SYNTAX;
}

sw_status sw_lab_value_of(const sw_sheet *sheet, const sw_csv_cell *cell,
                          sw_lab_value *value, sw_error *error)
{
    sw_status status = value_of(sheet, cell, value, error);
    if (status != SW_OK || !value->below || !(value->number < 0))
        return status;
    char shown[SW_SHOWN_BYTES];
    const sw_place place = sw_csv_place(sheet->reader, cell);
    sw_shorten(cell->text, shown);
    return sw_fail_at(error, &place, SW_BAD_LAB_LIMIT_NEGATIVE, shown);
}
