/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The products that are built in. */
#include "parts.h"

static cli_value *hazards_of(const sw_product *product)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < product->hazards.count; i++) {
        const sw_hazard *hazard = &product->hazards.items[i];
        cli_value *item = value_add_object(out);
        if (*hazard->ghs_class)
            value_put_text(item, "class", hazard->ghs_class);
        value_put_text(item, "code", hazard->code);
        if (*hazard->signal)
            value_put_text(item, "signal", hazard->signal);
        value_put_text(item, "statement", hazard->statement);
        value_put_text(item, "known", hazard->known);
        value_put_text(item, "source", hazard->source);
    }
    return out;
}

static cli_value *product(const sw_product *product)
{
    cli_value *out = value_object();
    cli_value *content = value_object();
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (product->per_g.amount[i] > 0.0)
            value_put_number(content, sw_component_name((sw_component)i),
                             product->per_g.amount[i]);
    value_put_text(out, "product", product->name);
    value_put_text(out, "formula", product->formula);
    VALUE_PUT(out, {"purity", product->purity},
              {"density_g_per_ml", product->density_g_per_ml},
              {"alkalinity_meq_per_g", product->per_g.amount[SW_ALKALINITY]});
    value_put(out, "mg_per_g", content);
    value_put(out, "hazards", hazards_of(product));
    if (!product->hazards.count && product->hazards.source) {
        value_put_text(out, "no_hazard_known", product->hazards.known);
        value_put_text(out, "no_hazard_source", product->hazards.source);
    }
    value_put_text(out, "source", product->source);
    return out;
}

static cli_value *hydrate(const cli_hydrate *row)
{
    cli_value *out = value_object();
    value_put_text(out, "product", row->product->name);
    value_put_number(out, "g_per_g", row->g_per_g);
    return out;
}

void doc_show_catalogue(const cli_canvas *canvas,
                        const cli_catalogue *catalogue)
{
    cli_value *root = doc_run("catalogue");
    cli_value *products = value_array();
    for (size_t i = 0; i < catalogue->count; i++)
        if (!catalogue->one || catalogue->one == catalogue->products[i])
            value_append(products, product(catalogue->products[i]));
    value_put(root, "products", products);
    if (catalogue->one) {
        cli_value *hydrates = value_array();
        for (size_t i = 0; i < catalogue->hydrate_count; i++)
            value_append(hydrates, hydrate(&catalogue->hydrates[i]));
        value_put(root, "hydrates", hydrates);
    }
    value_write(root, canvas->out);
}
