/* SPDX-License-Identifier: GPL-3.0-or-later */
/* "Ammonium nitrate, potassium nitrate and iron EDTA." as salts. */
#include "records/label_charge.h"

#include <stdio.h>
#include <string.h>

#include "quantity/label_text.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "records/catalogue.h"
#include "table_refusals.h"

static sw_status add_source(sw_label_list *l, size_t row, sw_error *error)
{
    for (size_t i = 0; i < l->count; i++)
        if (l->sources[i].row == row)
            return SW_OK;
    if (l->count == SW_LIST_SALTS || l->name_count == SW_LIST_NAMES)
        return sw_fail(error, SW_BAD_LABEL_LIST_LONG, SW_LIST_NAMES,
                       SW_LIST_SALTS);
    sw_label_salt *to = &l->sources[l->count++];
    *to = (sw_label_salt){.row = row, .name = l->name_count};
    return sw_catalogue_content(row, &to->per_g, &to->chelator, error);
}

/* "and potassium nitrate." without what is not its name. */
static void trim_name(char *name)
{
    size_t skip = strspn(name, " ");
    skip += sw_label_begins(name + skip, SW_LABEL_JOIN);
    skip += strspn(name + skip, " ");
    memmove(name, name + skip, strlen(name + skip) + 1);
    sw_text_trim(name, " .:");
}

/* The next name; the list moves on. */
static bool next_name(const char **list, char name[SW_LIST_NAME])
{
    *list += strspn(*list, " ,;\n.");
    if (!**list)
        return false;
    size_t length = strcspn(*list, ",;");
    const char *and = strstr(*list, " and ");
    if (and&&(size_t)(and-*list) < length)
        length = (size_t)(and-*list) + 1;
    (void)snprintf(name, SW_LIST_NAME, "%.*s",
                   (int)(length < SW_LIST_NAME ? length : SW_LIST_NAME - 1),
                   *list);
    for (char *c = name; *c; c++)
        *c = *c == '\n' ? ' ' : *c;
    *list += length;
    trim_name(name);
    return true;
}

sw_status sw_label_list_read(const char *text, sw_label_list *l,
                             char unknown[SW_LIST_NAME], sw_error *error)
{
    char name[SW_LIST_NAME];
    sw_status status = SW_OK;
    unknown[0] = '\0';
    while (status == SW_OK && next_name(&text, name)) {
        sw_catalogue_matches found = sw_catalogue_match(name);
        const char *meant = sw_label_meaning(name, SW_LABEL_LISTED);
        if (!found.count && meant)
            found = sw_catalogue_match(meant);
        if (!found.count) {
            memcpy(unknown, name, sizeof name);
            return SW_OK;
        }
        for (size_t i = 0; status == SW_OK && i < found.count; i++)
            status = add_source(l, found.index[i], error);
        if (status == SW_OK && l->name_count < SW_LIST_NAMES)
            memcpy(l->names[l->name_count++], name, sizeof name);
    }
    return status;
}

sw_label_kinds sw_label_list_kinds(const char *text)
{
    char name[SW_LIST_NAME];
    sw_label_kinds kinds = {0};
    while (next_name(&text, name)) {
        bool acid = sw_label_says(name, SW_LABEL_ACID) &&
                    !sw_label_says(name, SW_LABEL_MILD);
        kinds.names++;
        kinds.acids += acid;
        kinds.bases += !acid && sw_label_says(name, SW_LABEL_BASE);
    }
    return kinds;
}
