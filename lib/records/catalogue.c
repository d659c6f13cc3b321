/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The catalogue: what is built in, from reference/catalogue.csv.  A product's
 * composition is worked out from its label or formula when it is asked for,
 * so the table holds no computed number.
 */
#include "saltwright.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "quantity/label_claims.h"
#include "quantity/formula.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "records/catalogue.h"
#include "records/hazards.h"
#include "records/label_charge.h"
#include "records/name_side.h"
#include "records/product.h"

/* The table's count must not take the public function's name. */
#define sw_catalogue_count catalogue_rows
#include "table_catalogue.h"
#include "table_refusals.h"
#undef sw_catalogue_count

typedef sw_catalogue_row row;

size_t sw_catalogue_count(void)
{
    return catalogue_rows;
}

static sw_chelator chelator_of(const char *name)
{
    int i = SW_EDDHA;
    while (i > 0 && strcmp(sw_chelator_word((sw_chelator)i), name) != 0)
        i--;
    return (sw_chelator)i;
}

/* A copy in *to, NULL for an empty text; false when out of memory. */
static bool copy_text(const char *from, char **to)
{
    *to = *from ? strdup(from) : NULL;
    return *to || !*from;
}

static bool copy_texts(const row *from, sw_product *to)
{
    return copy_text(from->name, &to->name) &&
           copy_text(from->name, &to->catalogue_name) &&
           copy_text(from->formula, &to->formula) &&
           copy_text(from->label, &to->label) &&
           copy_text(from->other_names, &to->other_names) &&
           copy_text(from->source, &to->source) &&
           copy_text(from->tank, &to->usual_tank);
}

static sw_status compose(const row *from, sw_product *to, sw_error *error)
{
    *to = sw_product_blank();
    to->purity = from->purity;
    to->density_g_per_ml = from->density_g_per_ml;
    to->chelator = chelator_of(from->chelator);
    return *from->label
               ? sw_label_compose(from->label,
                                  &(sw_label_names){from->name, from->formula},
                                  to, error)
               : sw_formula_content(from->formula, from->purity, &to->per_g,
                                    NULL, error);
}

static sw_status fill(const row *from, sw_product *to, sw_error *error)
{
    sw_status status = compose(from, to, error);
    if (status == SW_OK && !copy_texts(from, to))
        status = sw_fail_memory(error);
    if (status == SW_OK)
        sw_hazards_find(to, false);
    return status;
}

sw_status sw_catalogue_content(size_t index, sw_content *per_g,
                               sw_chelator *chelator, sw_error *error)
{
    sw_product made;
    sw_status status = compose(&sw_catalogue_table[index], &made, error);
    *per_g = made.per_g;
    *chelator = made.chelator;
    sw_product_clear(&made);
    return status;
}

sw_status sw_catalogue_get(size_t index, sw_product **product, sw_error *error)
{
    SW_REQUIRE(error, product);
    *product = NULL;
    if (index >= sw_catalogue_count())
        return sw_fail(error, SW_BAD_ENTRY_NUMBER, sw_catalogue_count(), index);
    sw_product *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    sw_status status = fill(&sw_catalogue_table[index], made, error);
    SW_GIVE(status, product, made, sw_product_free);
}

void sw_product_free(sw_product *product)
{
    if (!product)
        return;
    sw_product_clear(product);
    free(product);
}

/* ---- Finding by name ---------------------------------------------------- */

typedef sw_catalogue_matches matches;

/* Whether a formula is `key`, or is it with crystal water: "MgSO4·7H2O". */
static bool is_salt(const char *formula, const char *key)
{
    char anhydrous[64];
    if (isalnum((unsigned char)*formula) &&
        tolower((unsigned char)*formula) != *key)
        return false; /* as most */
    const char *dot = strstr(formula, "·");
    if (sw_text_listed(formula, key))
        return true;
    if (!dot || strstr(dot + 1, "·") ||
        strcmp(formula + strlen(formula) - 3, "H2O") != 0)
        return false;
    (void)snprintf(anhydrous, sizeof anhydrous, "%.*s", (int)(dot - formula),
                   formula);
    return sw_text_listed(anhydrous, key);
}

/*
 * By its own name, which no two rows share; else by another or its formula.
 * "MgSO4" may be any of its hydrates: that is how shelves are marked.
 */
static matches match(const char *key)
{
    matches found = {.count = 0};
    size_t count = sw_catalogue_count();
    int own = sw_names_row(&sw_catalogue_names, key, 0);
    if (own >= 0)
        return (matches){.index = {(size_t)own}, .count = 1};
    for (size_t i = 0; *key && i < count && found.count < SW_MOST_CHOICES; i++)
        if (sw_text_listed(sw_catalogue_table[i].other_names, key) ||
            is_salt(sw_catalogue_table[i].formula, key))
            found.index[found.count++] = i;
    return found;
}

static matches match_text(const char *text, size_t length)
{
    char part[200];
    char key[SW_KEY_SIZE];
    (void)snprintf(part, sizeof part, "%.*s", (int)length, text);
    sw_text_key(part, key);
    return match(key);
}

/* "Potassium nitrate (KNO3)": what both name. */
static matches match_bracket(const char *name)
{
    matches both = {.count = 0};
    const char *open = strstr(name, " (");
    size_t length = strlen(name);
    if (!open || name[length - 1] != ')')
        return both;
    matches outer = match_text(name, (size_t)(open - name));
    matches inner = match_text(open + 2, strlen(open + 2) - 1);
    for (size_t i = 0; i < outer.count; i++)
        for (size_t k = 0; k < inner.count; k++)
            if (outer.index[i] == inner.index[k])
                both.index[both.count++] = outer.index[i];
    return both;
}

sw_catalogue_matches sw_catalogue_match(const char *name)
{
    matches found = match_text(name, strlen(name));
    return found.count ? found : match_bracket(name);
}

/* Whether a grade, a number, words in brackets or of the form are here,
 * "0-0-50", "50 % K2O", "2", "solution". */
static bool has_tail(const char *at)
{
    return *at && (strchr("([#", *at) || isdigit((unsigned char)*at) ||
                   sw_name_is_form(at));
}

/* Whether so much of a name says which salt: "potassium nitrate", "MKP" and
 * "KNO3", not "salt" or "soda". */
static bool is_telling(const char *name, size_t length)
{
    size_t word = strcspn(name, " 0123456789");
    return word < length || (length <= 3 && isupper((unsigned char)name[1]));
}

sw_catalogue_matches sw_catalogue_match_start(const char *name)
{
    matches found = {.count = 0};
    for (size_t length = strlen(name); length > 0 && !found.count; length--)
        if (strchr(" ,([", name[length]) && name[length - 1] != ' ' &&
            has_tail(name + length + strspn(name + length, " ,")) &&
            is_telling(name, length))
            found = match_text(name, length);
    return found;
}

sw_salt sw_catalogue_salt(size_t index)
{
    const row *r = &sw_catalogue_table[index];
    return (sw_salt){r->name,           r->formula, !isnan(r->density_g_per_ml),
                     *r->label != '\0', r->purity,  r->density_g_per_ml};
}

/* Another name of the row that begins with what was written and says more than
 * the row's own, which does not begin so: its length, from *longer; or 0. */
static int longer_name(const row *r, const char *name, const char **longer)
{
    size_t length = strlen(name);
    const char *at = strncasecmp(r->name, name, length) ? r->other_names : "";
    while (*at) {
        char more[80];
        size_t bytes = strcspn(at, "|");
        *longer = at;
        if (bytes > length && at[length] == ' ' &&
            strncasecmp(at, name, length) == 0) {
            (void)snprintf(more, sizeof more, "%.*s", (int)(bytes - length),
                           at + length);
            if (!strstr(r->name, more))
                return (int)bytes;
        }
        at += bytes + (at[bytes] == '|');
    }
    return 0;
}

static sw_status say_choices(const char *name, const matches *found,
                             sw_error *error)
{
    char list[400] = "";
    for (size_t i = 0; i < found->count; i++) {
        const row *r = &sw_catalogue_table[found->index[i]];
        const char *longer = "";
        int bytes = longer_name(r, name, &longer);
        sw_text_join(list, sizeof list, i + 1 == found->count ? " or " : ", ",
                     "%s%s%.*s%s", r->name, bytes ? " (" : "", bytes, longer,
                     bytes ? ")" : "");
    }
    return sw_fail(error, SW_BAD_ENTRY_UNCLEAR, name, list);
}

/* Of shorter names a letter makes another product. */
static const size_t least_near = 4;

static sw_status say_unknown(const char *name, const char *key, sw_error *error)
{
    char near_text[300];
    sw_near near = {.key = key};
    if (!error) /* near names take long to find, and nobody listens */
        return SW_ERR_NAME;
    for (size_t i = 0; i < sw_catalogue_count(); i++) {
        const row *r = &sw_catalogue_table[i];
        sw_near_consider(&near, r->name, r->name);
        sw_near_consider_list(&near, r->other_names, r->name);
        sw_near_consider(&near, r->formula, r->name);
    }
    if (strlen(key) < least_near) /* CAN is not UAN */
        near.count = 0;
    sw_near_say(&near, near_text, sizeof near_text);
    return sw_fail(error, SW_BAD_ENTRY_UNKNOWN, name, near_text);
}

sw_status sw_catalogue_find(const char *name, sw_product **product,
                            sw_error *error)
{
    SW_REQUIRE_FOR(product, error, name);
    char key[SW_KEY_SIZE];
    sw_text_key(name, key);
    matches found = sw_catalogue_match(name);
    if (found.count > 1)
        return say_choices(name, &found, error);
    return found.count ? sw_catalogue_get(found.index[0], product, error)
                       : say_unknown(name, key, error);
}
