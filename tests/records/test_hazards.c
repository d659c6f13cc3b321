/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Classes of the GHS: of the catalogue, of shelves, of labels. */
#include "suite.h"

#include <stdio.h>
#include <string.h>

#include "saltwright.h"

/* The only product of a shelf with this row. */
static sw_shelf *shelf_of(const char *row)
{
    char text[300];
    sw_shelf *shelf;
    sw_error error;
    (void)snprintf(text, sizeof text,
                   "product,formula,purity,label,density\n%s\n", row);
    FILE *stream = fmemopen(text, strlen(text), "r");
    sw_status status = sw_shelf_read(stream, "shelf.csv", &shelf, &error);
    ck_assert_msg(status == SW_OK, "%s: %s", row, error.message);
    fclose(stream);
    return shelf;
}

/* "H314 H331 ...", as they stand. */
static const char *codes_of(const sw_product *p)
{
    static char text[200];
    text[0] = '\0';
    for (size_t i = 0; i < p->hazards.count; i++) {
        strcat(text, i ? " " : "");
        strcat(text, p->hazards.items[i].code);
    }
    return text;
}

static int strength_of(const sw_hazard *h)
{
    return (int)h->signal;
}

static bool is_known(const char *known)
{
    return strcmp(known, "read") == 0 ||
           strcmp(known, "value from memory") == 0 ||
           strcmp(known, "not read: the stricter reading holds") == 0;
}

START_TEST(every_product_of_the_catalogue_shows_its_classes_with_a_source)
{
    for (size_t i = 0; i < sw_catalogue_count(); i++) {
        sw_product *p;
        ck_assert_int_eq(sw_catalogue_get(i, &p, NULL), SW_OK);
        const sw_hazards *all = &p->hazards;
        ck_assert_msg(all->source && *all->source && is_known(all->known), "%s",
                      p->name);
        for (size_t k = 0; k < all->count; k++) {
            const sw_hazard *h = &all->items[k];
            ck_assert_msg(*h->statement && *h->source && is_known(h->known),
                          "%s", p->name);
            ck_assert_msg(strncmp(h->code, "H", 1) == 0 ||
                              strncmp(h->code, "EUH", 3) == 0,
                          "%s: %s", p->name, h->code);
            ck_assert_msg(!k ||
                              strength_of(&all->items[k - 1]) >= strength_of(h),
                          "%s: %s", p->name, codes_of(p));
            for (size_t m = 0; m < k; m++)
                ck_assert_str_ne(all->items[m].code, h->code);
        }
        sw_product_free(p);
    }
}
END_TEST

/* BG RCI and BGHM, GisChem, nitric acid, overview by concentration: the codes
 * of each range, from its lower end on. */
static const struct {
    double from_percent;
    const char *codes;
} nitric[] = {
    {1, "H315 H319"},
    {3, "H318 H315"},
    {5, "H314 H332 H290"},
    {20, "H314 H332 H290 EUH071"},
    {26, "H314 H331 H290 EUH071"},
    {65, "H314 H331 H272 H290 EUH071"},
    {70, "H330 H314 H272 H290 EUH071"},
};

START_TEST(nitric_acid_has_the_classes_of_its_strength)
{
    const double ends[] = {0.0, 0.9, 1.9};
    for (size_t r = 0; r < sizeof nitric / sizeof *nitric; r++)
        for (size_t k = 0; k < 3; k++) {
            char row[80];
            (void)snprintf(row, sizeof row, "etching acid,HNO3,%g %%,,",
                           nitric[r].from_percent + ends[k]);
            sw_shelf *s = shelf_of(row);
            ck_assert_str_eq(codes_of(&s->products[0]), nitric[r].codes);
            sw_shelf_free(s);
        }
}
END_TEST

static const struct {
    const char *row, *codes;
} rows[] = {
    /* by its formula, other crystal water than in the table or none */
    {"zn,Zn(NO3)2.4H2O,,,", "H272 H318 H302 H315 H335 H410"},
    {"cal,Ca(NO3)2*4H2O,,,", "H318 H302"},
    {"our sulfur acid,H2SO4,0.5,,1.4", "H314 H290"},
    {"our sulfur acid,H2SO4,0.1,,1.1", "H315 H319 H290"},
    {"lye of ours,NaOH,0.3,,1.3", "H314 H290"},
    {"lye of ours,NaOH,0.01,,1.0", "H315 H319"},
    /* a base that no row names, as the sodium hydroxide of its equivalents: 0.5
     * and 2 % of it; the salts of weak acids are none */
    {"mixed lye,KNaO2H2,0.61 %,,", "H315 H319"},
    {"mixed lye,KNaO2H2,0.59 %,,", ""},
    {"mixed lye,KNaO2H2,2.42 %,,", "H314 H290"},
    {"mixed lye,KNaO2H2,2.38 %,,", "H315 H319"},
    {"magnesite,MgCO3,,,", ""},
    /* oxides that hardly dissolve */
    {"rust,Fe2O3,,,", ""},
    {"magnesia,MgO,,,", ""},
    {"zinc white,ZnO,,,", "H410"},
    {"black copper,CuO,,,", "H410"},
    {"citrate of ours,Na3C6H5O7,,,", ""},
    {"phosphate of ours,Na3PO4,,,", ""},
    {"borate of ours,K2B4O7,,,", "H360FD"},
    /* a label that is that of a known salt within its rounding */
    {"blend,,,NO3-N 13; K2O 46,", "H272"},
    {"blend,,,NO3-N 13.5; K2O 45.4,", "H272"},
    {"blend,,,NO3-N 14.4; NH4-N 1.1; Ca 19,", "H318 H302"},
    {"blend,,,K2O 50; SO3 45,", ""},
    {"blend,,,B 17.4,", "H360FD"},
    /* a label that is none: by what it declares */
    {"blend,,,NO3-N 10; P2O5 5; K2O 37,", ""},
    /* ions left off the label make no acid and no base of it */
    {"blend,,,NO3-N 10; P2O5 20; K2O 20,", ""},
    {"blend,,,K2O 40; P2O5 10,", ""},
    {"bedding,,,urea-N 17; NH4-N 7; P2O5 8; K2O 16,", ""},
    {"blend,,,K2O 30; P2O5 45; B 0.02,", ""},
    {"blend,,,K2O 30; P2O5 45; B 0.05,", "H360FD"},
    {"trace mix,,,Zn 1; Cu 0.3; Mn 3; B 1; Mg 5; SO4 27,",
     "H360FD H318 H373 H411"},
    {"chelates,,,Fe-DTPA 6; Mn-EDTA 2; Zn-EDTA 2,", ""},
    {"fire salt,,,NO3-N 10; NH4-N 10; K2O 10; SO3 8.5,", "H319 H272"},
};

START_TEST_EACH(a_shelf_s_product_is_what_it_says_and_declares,
                sizeof rows / sizeof *rows)
{
    sw_shelf *s = shelf_of(rows[_i].row);
    const sw_product *p = &s->products[0];
    char wanted[100];
    size_t codes = 0;
    (void)snprintf(wanted, sizeof wanted, "%s", rows[_i].codes);
    for (char *code = strtok(wanted, " "); code; code = strtok(NULL, " ")) {
        ck_assert_msg(sw_has_hazard(p, code), "%s: %s", p->name, codes_of(p));
        codes++;
    }
    ck_assert_msg(p->hazards.count == codes, "%s has %s, not %s", rows[_i].row,
                  codes_of(p), rows[_i].codes);
    sw_shelf_free(s);
}
END_TEST

START_TEST(what_nothing_is_known_of_says_so)
{
    sw_shelf *s = shelf_of("odd salt,Na2HPO4,,,");
    ck_assert_uint_eq(s->products[0].hazards.count, 0);
    ck_assert_ptr_null(s->products[0].hazards.source);
    sw_shelf_free(s);
}
END_TEST

static void expect_gear(const char *row, const char *worn, bool air)
{
    char text[160];
    sw_shelf *s = shelf_of(row);
    unsigned gear = sw_gear_of(&s->products[0]);
    sw_gear_text(gear, text, sizeof text);
    ck_assert_str_eq(text, worn);
    ck_assert_int_eq((gear & SW_GEAR_AIR) != 0, air);
    sw_shelf_free(s);
}

START_TEST(gear_follows_from_the_classes)
{
    expect_gear("nitric acid 38 %,,,,",
                "goggles, face shield, chemical-resistant gloves and apron",
                true);
    expect_gear("boric acid,,,,",
                "goggles, chemical-resistant gloves and dust mask", false);
    expect_gear("potassium sulfate,,,,",
                "goggles and chemical-resistant gloves", false);
    char cut[8];
    sw_gear_text(SW_GEAR_GOGGLES | SW_GEAR_APRON, cut, sizeof cut);
    ck_assert_str_eq(cut, "goggles");
    sw_gear_text(SW_GEAR_APRON, cut, 0);
    ck_assert_str_eq(cut, "goggles");
    ck_assert_uint_eq(sw_gear_of(NULL), 0);
}
END_TEST
