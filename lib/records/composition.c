/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a shelf's product is made of: its label, its formula, or the catalogue.
 * A label wins over a formula, since it states the very bag; both win over
 * the catalogue, of which then only tank and names are kept.  Hazards follow.
 */
#include "records/composition.h"

#include "quantity/formula.h"
#include "quantity/notes.h"
#include "records/hazards.h"
#include "records/label_charge.h"
#include "records/product.h"
#include "table_refusals.h"
#include "table_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Densities of liquids sold to growers lie well within, g/mL. */
static const double least_density = 0.6;
static const double most_density = 2.5;

/* ---- Purity and density ------------------------------------------------ */

/* The number before a percent sign, whether there is one. */
static double read_share(sw_table *table, bool *percent)
{
    double share = NAN;
    sw_error cause;
    const sw_csv_cell *cell = sw_table_cell(table, SW_SHELF_PURITY);
    char *text = strdup(cell->text);
    if (!text) {
        sw_table_lack(table);
        return NAN;
    }
    size_t length = strlen(text);
    *percent = text[length - 1] == '%';
    length -= *percent ? 1 : 0;
    while (length > 0 && text[length - 1] == ' ')
        length--;
    text[length] = '\0';
    if (sw_csv_number(table->reader, cell, *text ? text : cell->text, &share,
                      &cause))
        sw_table_refuse(table, SW_SHELF_PURITY, cause.status, "%s",
                        cause.message);
    free(text);
    return share;
}

/* "98 %" or 0.98; NaN when the cell is empty. */
static double read_purity(sw_table *table)
{
    bool percent = false;
    if (!*sw_table_text(table, SW_SHELF_PURITY))
        return NAN;
    double purity = read_share(table, &percent);
    if (!percent && purity > 1.0 && purity <= 100.0)
        sw_table_refuse(table, SW_SHELF_PURITY, SW_BAD_PURITY_PERCENT);
    if (percent)
        purity /= 100.0;
    if (!(purity > 0.0) || purity > 1.0)
        sw_table_refuse(table, SW_SHELF_PURITY, SW_BAD_PURITY_SIZE);
    return purity;
}

static void read_density(sw_table *table, double *density_g_per_ml)
{
    double given = sw_table_number(table, SW_SHELF_DENSITY);
    if (isnan(given))
        return;
    *density_g_per_ml = given;
    if (given < least_density || given > most_density)
        sw_table_refuse(table, SW_SHELF_DENSITY, SW_BAD_DENSITY);
}

/* ---- Composition ------------------------------------------------------- */

/* Keeps of a catalogue entry only what holds for another composition. */
static void keep_identity(sw_product *product)
{
    sw_product kept = sw_product_blank();
    kept.catalogue_name = product->catalogue_name;
    kept.other_names = product->other_names;
    kept.usual_tank = product->usual_tank;
    product->catalogue_name = NULL;
    product->other_names = NULL;
    product->usual_tank = NULL;
    sw_product_clear(product);
    *product = kept;
}

static void compose_from_label(sw_table *table, sw_product *product)
{
    sw_error cause;
    const char *label = sw_table_text(table, SW_SHELF_LABEL);
    const char *formula = sw_table_text(table, SW_SHELF_FORMULA);
    if (*sw_table_text(table, SW_SHELF_PURITY))
        sw_table_refuse(table, SW_SHELF_PURITY, SW_BAD_PURITY_BESIDE_LABEL);
    keep_identity(product);
    product->formula = *formula ? sw_copy_text(formula) : NULL;
    product->label = sw_copy_text(label);
    product->source = strdup("label");
    if (!product->label || !product->source || (*formula && !product->formula))
        sw_table_lack(table);
    /* Figures by volume need it. */
    read_density(table, &product->density_g_per_ml);
    const sw_label_names names = {sw_table_text(table, SW_SHELF_PRODUCT),
                                  product->formula};
    if (!sw_table_is_refused(table) &&
        sw_label_compose(label, &names, product, &cause))
        sw_table_blame(table, SW_SHELF_LABEL, &cause);
}

/* The content of its formula at its purity. */
static void take_formula(sw_table *table, size_t column, sw_product *product)
{
    sw_error cause;
    if (sw_formula_content(product->formula, product->purity, &product->per_g,
                           NULL, &cause))
        sw_table_blame(table, column, &cause);
}

static void compose_from_formula(sw_table *table, sw_product *product,
                                 double purity)
{
    keep_identity(product);
    product->purity = isnan(purity) ? 1.0 : purity;
    product->formula = sw_copy_text(sw_table_text(table, SW_SHELF_FORMULA));
    product->source = strdup("formula");
    if (product->formula && product->source)
        take_formula(table, SW_SHELF_FORMULA, product);
    else
        sw_table_lack(table);
}

/* The catalogue's salt or acid at another purity. */
static void change_purity(sw_table *table, sw_product *product, double purity)
{
    if (isnan(purity) || purity == product->purity)
        return;
    product->purity = purity;
    if (!product->formula)
        sw_table_refuse(table, SW_SHELF_PURITY, SW_BAD_PURITY_OF_LABEL);
    else if (!isnan(product->density_g_per_ml) &&
             !*sw_table_text(table, SW_SHELF_DENSITY))
        sw_table_refuse(table, SW_SHELF_DENSITY, SW_BAD_DENSITY_OF_STRENGTH);
    else
        take_formula(table, SW_SHELF_PURITY, product);
}

/*
 * The catalogue's entry: by the formula, which says more than a name, where
 * one is given without a label; else by name.  Names near an unknown one are
 * of use only where the row has nothing but its name.
 */
static sw_status find_entry(sw_table *table, sw_product *product,
                            sw_error *cause)
{
    const char *formula = sw_table_text(table, SW_SHELF_FORMULA);
    const char *label = sw_table_text(table, SW_SHELF_LABEL);
    sw_status status = SW_ERR_NAME;
    if (*formula && !*label)
        status = sw_product_find(formula, product, NULL);
    if (status == SW_ERR_NAME)
        status = sw_product_find(sw_table_text(table, SW_SHELF_PRODUCT),
                                 product, *formula || *label ? NULL : cause);
    return status;
}

static void compose(sw_table *table, sw_product *product, double purity)
{
    sw_error cause;
    sw_status found = find_entry(table, product, &cause);
    if (found == SW_ERR_MEMORY)
        sw_table_lack(table);
    else if (*sw_table_text(table, SW_SHELF_LABEL))
        compose_from_label(table, product);
    else if (*sw_table_text(table, SW_SHELF_FORMULA))
        compose_from_formula(table, product, purity);
    else if (found)
        sw_table_refuse(table, SW_SHELF_PRODUCT, found,
                        "%s; expected a product of the catalogue, or one with "
                        "a formula such as KNO3 or a label such as K2O 46; "
                        "NO3-N 13.5",
                        cause.message);
    else
        change_purity(table, product, purity);
}

void sw_shelf_compose(sw_table *table, sw_product *product)
{
    double purity = read_purity(table);
    if (sw_table_is_refused(table))
        return;
    compose(table, product, purity);
    read_density(table, &product->density_g_per_ml);
    sw_hazards_find(product, *sw_table_text(table, SW_SHELF_LABEL) != '\0');
}

/* ---- Doubts ------------------------------------------------------------ */

static bool carries_nothing(const sw_content *per_g)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        if (per_g->amount[i] != 0.0)
            return false;
    return true;
}

void sw_shelf_doubt(const sw_product *product, sw_notes *notes,
                    const char *file)
{
    if (carries_nothing(&product->per_g))
        sw_notes_add(notes, SW_SAY_PRODUCT_CARRIES_NONE, product->name, file,
                     product->line);
    if (product->purity < 0.05)
        sw_notes_add(notes, SW_SAY_PURITY_SMALL, product->name, file,
                     product->line, 100.0 * product->purity);
}
