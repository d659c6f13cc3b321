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
#include "records/utf8.h"
#include "table_refusals.h"
#include "table_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Densities of liquids sold to growers lie well within, g/mL. */
static const double least_density = 0.6;
static const double most_density = 2.5;

sw_status sw_shelf_fail(sw_table *table, size_t column, sw_error *error,
                        sw_status status, const char *text)
{
    const sw_place place = sw_table_place(table, column);
    return sw_fail_at(error, &place, status, "%s", text);
}

/* ---- Purity and density ------------------------------------------------ */

/* The number of a purity in *value, whether a percent sign follows it. */
static sw_status read_share(sw_table *table, double *value, bool *percent,
                            sw_error *error)
{
    const sw_csv_cell *cell = sw_table_cell(table, SW_SHELF_PURITY);
    char *text = strdup(cell->text);
    if (!text)
        return sw_fail_memory(error);
    size_t length = strlen(text);
    *percent = text[length - 1] == '%';
    length -= *percent ? 1 : 0;
    while (length > 0 && text[length - 1] == ' ')
        length--;
    text[length] = '\0';
    sw_status status = sw_csv_number(table->reader, cell,
                                     *text ? text : cell->text, value, error);
    free(text);
    return status;
}

/* "98 %" or 0.98; NaN when the cell is empty. */
static sw_status read_purity(sw_table *table, double *purity, sw_error *error)
{
    bool percent = false;
    *purity = NAN;
    if (!*sw_table_text(table, SW_SHELF_PURITY))
        return SW_OK;
    sw_status status = read_share(table, purity, &percent, error);
    if (status)
        return status;
    if (!percent && *purity > 1.0 && *purity <= 100.0)
        return sw_shelf_fail(table, SW_SHELF_PURITY, error,
                             SW_BAD_PURITY_PERCENT);
    if (percent)
        *purity /= 100.0;
    if (!(*purity > 0.0) || *purity > 1.0)
        return sw_shelf_fail(table, SW_SHELF_PURITY, error, SW_BAD_PURITY_SIZE);
    return SW_OK;
}

static sw_status read_density(sw_table *table, double *density_g_per_ml,
                              sw_error *error)
{
    double given = NAN;
    sw_status status = sw_table_number(table, SW_SHELF_DENSITY, &given, error);
    if (status || isnan(given))
        return status;
    *density_g_per_ml = given;
    if (given >= least_density && given <= most_density)
        return SW_OK;
    return sw_shelf_fail(table, SW_SHELF_DENSITY, error, SW_BAD_DENSITY);
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

static sw_status compose_from_label(sw_table *table, sw_product *product,
                                    sw_error *error)
{
    const char *label = sw_table_text(table, SW_SHELF_LABEL);
    if (*sw_table_text(table, SW_SHELF_PURITY))
        return sw_shelf_fail(table, SW_SHELF_PURITY, error,
                             SW_BAD_PURITY_BESIDE_LABEL);
    keep_identity(product);
    const char *formula = sw_table_text(table, SW_SHELF_FORMULA);
    product->formula = *formula ? sw_copy_text(formula) : NULL;
    const sw_label_names names = {sw_table_text(table, SW_SHELF_PRODUCT),
                                  product->formula};
    /* Figures by volume need it. */
    sw_status status = read_density(table, &product->density_g_per_ml, error);
    if (status)
        return status;
    status = sw_label_compose(label, &names, product, error);
    if (status)
        return sw_table_blame(table, SW_SHELF_LABEL, status, error);
    product->label = sw_copy_text(label);
    product->source = strdup("label");
    return product->label && product->source && (product->formula || !*formula)
               ? SW_OK
               : sw_fail_memory(error);
}

static sw_status compose_from_formula(sw_table *table, sw_product *product,
                                      double purity, sw_error *error)
{
    const char *formula = sw_table_text(table, SW_SHELF_FORMULA);
    keep_identity(product);
    product->purity = isnan(purity) ? 1.0 : purity;
    sw_status status = sw_formula_content(formula, product->purity,
                                          &product->per_g, NULL, error);
    if (status)
        return sw_table_blame(table, SW_SHELF_FORMULA, status, error);
    product->formula = sw_copy_text(formula);
    product->source = strdup("formula");
    return product->formula && product->source ? SW_OK : sw_fail_memory(error);
}

/* The catalogue's salt or acid at another purity. */
static sw_status change_purity(sw_table *table, sw_product *product,
                               double purity, sw_error *error)
{
    if (isnan(purity) || purity == product->purity)
        return SW_OK;
    if (!product->formula)
        return sw_shelf_fail(table, SW_SHELF_PURITY, error,
                             SW_BAD_PURITY_OF_LABEL);
    if (!isnan(product->density_g_per_ml) &&
        !*sw_table_text(table, SW_SHELF_DENSITY))
        return sw_shelf_fail(table, SW_SHELF_DENSITY, error,
                             SW_BAD_DENSITY_OF_STRENGTH);
    product->purity = purity;
    sw_status status = sw_formula_content(product->formula, purity,
                                          &product->per_g, NULL, error);
    return status ? sw_table_blame(table, SW_SHELF_PURITY, status, error)
                  : SW_OK;
}

static sw_status fail_unknown(sw_table *table, sw_status status,
                              const sw_error *cause, sw_error *error)
{
    const sw_place place = sw_table_place(table, SW_SHELF_PRODUCT);
    return sw_fail_at(error, &place, status,
                      "%s; expected a product of the catalogue, or one with a "
                      "formula such as KNO3 or a label such as K2O 46; NO3-N "
                      "13.5",
                      cause->message);
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

static sw_status compose(sw_table *table, sw_product *product, double purity,
                         sw_error *error)
{
    sw_error cause;
    sw_status found = find_entry(table, product, &cause);
    if (found == SW_ERR_MEMORY)
        return sw_fail_memory(error);
    if (*sw_table_text(table, SW_SHELF_LABEL))
        return compose_from_label(table, product, error);
    if (*sw_table_text(table, SW_SHELF_FORMULA))
        return compose_from_formula(table, product, purity, error);
    return found ? fail_unknown(table, found, &cause, error)
                 : change_purity(table, product, purity, error);
}

sw_status sw_shelf_compose(sw_table *table, sw_product *product,
                           sw_error *error)
{
    double purity = NAN;
    sw_status status = read_purity(table, &purity, error);
    if (!status)
        status = compose(table, product, purity, error);
    if (!status)
        status = read_density(table, &product->density_g_per_ml, error);
    sw_hazards_find(product, *sw_table_text(table, SW_SHELF_LABEL) != '\0');
    return status;
}

/* ---- Doubts ------------------------------------------------------------ */

static bool carries_nothing(const sw_content *per_g)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        if (per_g->amount[i] != 0.0)
            return false;
    return true;
}

sw_status sw_shelf_doubt(const sw_product *product, sw_notes *notes,
                         const char *file)
{
    sw_status status = SW_OK;
    if (carries_nothing(&product->per_g))
        status = sw_notes_add(notes, SW_SAY_PRODUCT_CARRIES_NONE, product->name,
                              file, product->line);
    if (!status && product->purity < 0.05)
        status = sw_notes_add(notes, SW_SAY_PURITY_SMALL, product->name, file,
                              product->line, 100.0 * product->purity);
    return status;
}
