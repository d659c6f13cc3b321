/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Labels as they seldom stand on a bag, and all that is taken from each. */
#include "suite.h"

#include "quantity/label_claims.h"
#include "quantity/text.h"
#include "records/stream.h"
#include "saltwright.h"

#include <math.h>
#include <string.h>

/* mg/g of what it has, meq/g of alkalinity and of ions left open, its chelator
 * and the codes of what is said of it; or why it is refused. */
static void sum_up(const sw_product *p, char told[600])
{
    told[0] = '\0';
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (i != SW_N && p->per_g.amount[i] > 1e-4)
            sw_text_add(told, 600, "%s %.4g ",
                        sw_component_name((sw_component)i), p->per_g.amount[i]);
    if (fabs(p->per_g.amount[SW_ALKALINITY]) > 1e-9)
        sw_text_add(told, 600, "alk %.3g ", p->per_g.amount[SW_ALKALINITY]);
    if (fabs(p->per_g.amount[SW_UNDECLARED]) > 1e-9)
        sw_text_add(told, 600, "open %.3g ", p->per_g.amount[SW_UNDECLARED]);
    if (p->chelator != SW_CHELATOR_NONE)
        sw_text_add(told, 600, "%s ", sw_chelator_word(p->chelator));
    for (size_t i = 0; i < p->remarks.count; i++)
        sw_text_add(told, 600, "(%s) ", p->remarks.items[i].code);
}

static void expect_label(const char *name, const char *text,
                         const char *expected)
{
    char told[600];
    sw_error error = {0};
    sw_shelf *shelf = calloc(1, sizeof *shelf);
    FILE *stream = stream_of(text);
    ck_assert_ptr_nonnull(shelf);
    if (sw_shelf_add_label(shelf, name, stream, "bag.txt", &error) == SW_OK)
        sum_up(&shelf->products[0], told);
    else
        (void)snprintf(told, sizeof told, "%lu:%lu %.80s", error.line,
                       error.column, error.message);
    told[strcspn(told, "\n")] = '\0';
    ck_assert_msg(!strcmp(told, expected), "%s\nis %s\nnot %s", text, told,
                  expected);
    fclose(stream);
    sw_shelf_free(shelf);
}

static const struct {
    const char *name, *text, *expected;
} label[] = {
    /* chelates of what nothing holds, of nothing, beside a bare metal */
    {"bag", "Ca-EDTA 9",
     "1:1 the name 'Ca-EDTA' is not known; write one like NO3-N, SO4, "
     "alkalinity, EC"},
    {"bag", "EDTA 9",
     "1:1 the name 'EDTA' is not known; write one like NO3-N, SO4, alkalinity, "
     "EC"},
    {"bag", "pH-DTPA 6",
     "1:1 the name 'pH-DTPA' is not known; write one like NO3-N, SO4, "
     "alkalinity, EC"},
    {"bag", "FeDTPA 6", "Fe 60 DTPA "},
    {"bag", "Iron EDTA 4; Iron DTPA 2; Iron 8",
     "1:27 Fe is declared both by itself and in a chelate; write what no "
     "chelator holds as "},
    {"bag", "Iron EDTA 4; Iron DTPA 2; Iron chelated 6", "Fe 60 DTPA "},
    {"bag", "Magnesium chelated 5",
     "1:1 no rule for Mg in a chelate; expected Fe, Mn, Zn or Cu"},
    {"bag", "Fe2O3-EDTA 5",
     "1:1 the name 'Fe2O3-EDTA' is not known; write one like NO3-N, SO4, "
     "alkalinity, EC"},
    /* the same in two figures */
    {"bag", "P2O5 52 % (22.7 % P); K2O 34 %", "P 226.9 K 282.3 "},
    {"bag", "P2O5 52 % (30 % P); K2O 34 %",
     "1:1 '30 % P' is not the 52 % of P2O5 before it"},
    {"bag", "P2O5 52 % (10 % P); K2O 34 %",
     "1:1 '10 % P' is not the 52 % of P2O5 before it"},
    {"bag", "P2O5 52 % (20 % of what); K2O 34 %",
     "1:1 '20 % of what' is not understood"},
    {"bag", "P2O5 52 % (20 %); K2O 34 %", "1:1 '20 %' is not understood"},
    {"bag", "K2O 46 (nitrate)\nNO3-N 13 %",
     "1:1 this label has anions but no cation, and an acid, a salt and a base "
     "print alike;"},
    /* what does not dissolve */
    {"bag", "P2O5 water insoluble 5 %; elemental sulfur 10 %; K2O 20 %",
     "1:1 this label has a cation but no anion, and a salt and a caustic base "
     "print alike;"},
    {"bag", "elemental sulfur 10 %; nitrogen insoluble 5; NO3-N 5; K2O 20",
     "NO3-N 50 K 166 (label-lost) "},
    {"bag", "insoluble P2O5 5 %; insoluble K2O 2 %; urea-N 46",
     "urea-N 460 (label-lost) "},
    {"bag", "Total nitrogen 10 %; water soluble nitrogen 8 %; NO3-N 10 %",
     "1:1 the forms of N sum to 18 %, more than the total of 10 %"},
    {"bag", "available nitrogen 10 %; NO3-N 10 %; K2O 33 %",
     "NO3-N 100 K 273.9 "},
    {"bag", "Water soluble nitrogen 13 %; K2O 46 %",
     "1:1 total N is 13 %, and 0 % of it has a form; say which it is, NO3-N, "
     "NH4-N or urea"},
    {"bag",
     "Total nitrogen 20 %; NO3-N 10 %; water soluble nitrogen 10 %; K2O 33 %",
     "NO3-N 100 urea-N 100 K 273.9 (label-unformed) "},
    {"bag", "Other water soluble nitrogen 2 %; urea-N 44 %",
     "urea-N 460 (label-unformed) "},
    /* density and temperature */
    {"bag", "Density 1.3 kg/L at 20 C\nNO3-N 10 % w/v",
     "1:1 this label has anions but no cation, and an acid, a salt and a base "
     "print alike;"},
    {"bag", "Density 1.3 kg/L @20C\nNO3-N 10 % w/v",
     "1:1 this label has anions but no cation, and an acid, a salt and a base "
     "print alike;"},
    {"bag", "Density 1.3 kg/L (20 C)\nNO3-N 10 % w/v",
     "1:1 this label has anions but no cation, and an acid, a salt and a base "
     "print alike;"},
    {"bag", "Density 1.3 kg/L at 68 degrees F\nNO3-N 10 % w/v",
     "1:1 this label has anions but no cation, and an acid, a salt and a base "
     "print alike;"},
    {"bag", "Density 1.3 kg/L bei 20 Grad Celsius und C\nNO3-N 10 % w/v",
     "1:1 'Density 1.3 kg/L bei 20 Grad Celsius und C' is not the density of a "
     "liquid; wri"},
    {"bag", "Density .)\nNO3-N 10 % w/v",
     "1:1 'Density .)' is not the density of a liquid; write it like density "
     "1.24 kg/L or "},
    {"bag", "Density 1.3\nNO3-N 10 % w/v; Ca 14 % w/v",
     "NO3-N 76.92 Ca 107.7 "},
    {"bag",
     "Density 1.3 kg/L a whole lot of words and then a C\nNO3-N 10 % w/v",
     "1:1 'Density 1.3 kg/L a whole lot of words and then a C' is not the "
     "density of a liq"},
    {"bag", "Density 1.3 kg/L at 20C; NO3-N 10 % w/v; Ca 14 % w/v",
     "NO3-N 76.92 Ca 107.7 "},
    {"bag", "Density C\nNO3-N 10 % w/v",
     "1:1 'Density C' is not the density of a liquid; write it like density "
     "1.24 kg/L or 1"},
    {"bag", "Density 20 C\nNO3-N 10 % w/v",
     "1:1 'Density 20 C' is not the density of a liquid; write it like density "
     "1.24 kg/L o"},
    {"bag", "Density 0.3 kg/L\nNO3-N 10 % w/v",
     "1:1 'Density 0.3 kg/L' is not the density of a liquid; write it like "
     "density 1.24 kg"},
    {"bag", "Density 3 kg/L\nNO3-N 10 % w/v",
     "1:1 'Density 3 kg/L' is not the density of a liquid; write it like "
     "density 1.24 kg/L"},
    {"bag", "Density 1.3 furlong\nNO3-N 10 % w/v",
     "1:1 'Density 1.3 furlong' is not the density of a liquid; write it like "
     "density 1.24"},
    {"bag", "Weight per gallon 10.9 lb at 68 F\nNO3-N 10 % w/v",
     "1:1 this label has anions but no cation, and an acid, a salt and a base "
     "print alike;"},
    /* grades */
    {"bag", "13-0-46 twice 13-0-46\nNO3-N 13 %\nK2O 46 %",
     "NO3-N 130 K 381.9 "},
    {"bag", "13-0-46\n12-0-44\nNO3-N 13 %\nK2O 46 %", "NO3-N 130 K 381.9 "},
    {"bag", "50-50-50 lot\nNO3-N 13 %\nK2O 46 %",
     "NO3-N 130 K 381.9 (label-unread) "},
    {"bag", "13-0-46x\nNO3-N 13 %\nK2O 46 %",
     "NO3-N 130 K 381.9 (label-unread) "},
    {"bag",
     "13-0-999999999999999999999999999999999999999999999999\nNO3-N 13 %\nK2O "
     "46 %",
     "NO3-N 130 K 381.9 (label-unread) "},
    /* commas */
    {"bag", "13 % NO3-N, 46 % K2O", "NO3-N 130 K 381.9 "},
    {"bag", "NO3-N 13 %, K2O 46 %", "NO3-N 130 K 381.9 "},
    {"bag", "NO3-N 13, K2O 46", "NO3-N 130 K 381.9 "},
    {"bag", "13 % NO3-N (nitrate), 2 % Ca, 40 % K2O",
     "NO3-N 130 K 332.1 Ca 20 "},
    {"bag", "Chlorine (Cl), not more than 1 %; NO3-N 13; K2O 46",
     "NO3-N 130 K 381.9 "},
    {"bag", ", NO3-N 13; K2O 46", "NO3-N 130 K 381.9 "},
    {"bag", "46 % K2O (soluble), NO3-N 13 %", "NO3-N 130 K 381.9 "},
    {"bag", "46 % K2O 46.0 %, 13 % NO3-N",
     "1:1 the name 'K2O 46.0 %' is not known; write one like NO3-N, SO4, "
     "alkalinity, EC"},
    {"bag", "46 % K2O, 13 % NO3-N, 0,02 % B", "NO3-N 130 K 381.9 B 0.2 "},
    {"bag", ",13 % NO3-N; 46 % K2O", "NO3-N 130 K 381.9 "},
    {"bag", " ), 13 % NO3-N; 46 % K2O",
     "1:2 '), 13 % NO3-N' is not a name and a %; write it like NO3-N 14.4; "
     "NH4-N 1.1; Ca 1"},
    {"bag", "13 % nitrate nitrogen 13, 46 % K2O",
     "1:1 the name 'nitrate nitrogen 13, 46 % K2O' is not known; write one "
     "like NO3-N, SO4"},
    {"bag", "NO3-N 13,5 %, K2O 46,2 %", "NO3-N 135 K 383.5 "},
    /* units */
    {"bag", "NO3-N 130 g/kg\nK2O 460000 mg/kg",
     "NO3-N 130 K 381.9 open 0.486 "},
    {"bag", "130 g/kg",
     "1:1 '130' is not a name and a %; write it like NO3-N 14.4; NH4-N 1.1; Ca "
     "19"},
    {"bag", "13 %\nK2O 46 %",
     "1:1 '13' is not a name and a %; write it like NO3-N 14.4; NH4-N 1.1; Ca "
     "19"},
    {"bag", "percent 13 NO3-N",
     "1:1 'percent 13 NO3-N' is not a name and a %; write it like NO3-N 14.4; "
     "NH4-N 1.1; C"},
    {"bag", "NO3-N thirteen %\nK2O 46 %",
     "1:1 'NO3-N thirteen' is not a name and a %; write it like NO3-N 14.4; "
     "NH4-N 1.1; Ca "},
    {"bag", "NO3-N 13.7 %%\nK2O 46 %", "NO3-N 137 K 381.9 "},
    {"bag", "Total nitrogen (N) 13 % (nitrate)\nK2O 46 %",
     "NO3-N 130 K 381.9 "},
    {"bag", "Potash 46 % (nitrate)\nNO3-N 13 %", "NO3-N 130 K 381.9 "},
    {"bag", "Nitrogen (as nitrate) 13 %\nK2O 46 %",
     "1:1 the name 'Nitrogen (as nitrate)' could mean more than one thing; "
     "choose: NO3-N ("},
    {"bag", "46 % soluble potash ( ) (K2O)\n13 % NO3-N", "NO3-N 130 K 381.9 "},
    {"bag",
     "Total nitrogen of which guaranteed minimum 13 % (nitric)\nK2O 46 %",
     "NO3-N 130 K 381.9 "},
    {"bag", "total water soluble P2O5 52 %; K2O 34 %", "P 226.9 K 282.3 "},
    /* lists */
    {"bag", "NO3-N 13 %\nK2O 46 %\nDerived from:", "NO3-N 130 K 381.9 "},
    {"bag",
     "NO3-N 13 %\nK2O 46 %\nDerived from:\nKeep dry and cool, away from all "
     "that burns or can be set alight",
     "NO3-N 130 K 381.9 (label-list) "},
    {"bag",
     "NO3-N 13 %\nK2O 46 %\nDerived from:\n1) Potassium nitrate\n2.Boric "
     "acid\no Urea",
     "NO3-N 136.8 K 381.9 (label-derived) (label-unread) "},
    {"bag",
     "NO3-N 13 %\nK2O 46 %\nDerived from:\na) Potassium nitrate.\nb) Boric "
     "acid",
     "NO3-N 136.8 K 381.9 (label-derived) "},
    {"bag",
     "NO3-N 13 %\nK2O 46 %\nDerived from:\nPotassium nitrate.\nBoric acid",
     "NO3-N 136.8 K 381.9 (label-derived) (label-unread) "},
    {"bag",
     "NO3-N 13 %\nK2O 46 %\nDerived from: Potassium nitrate,\n\nBoron 0.1 %",
     "NO3-N 136.8 K 381.9 B 1 (label-derived) "},
    {"bag", "NO3-N 13 %\nK2O 46 %\nDerived from: Potassium nitrate and\nLot: 5",
     "NO3-N 130 K 381.9 (label-list) (label-unread) "},
    {"bag",
     "NO3-N 13 %\nK2O 46 %\nDerived from: Potassium nitrate and boric acid. "
     "Keep dry.",
     "NO3-N 136.8 K 381.9 (label-derived) (label-unread) "},
    {"bag", "NO3-N 13 %\nK2O 46 %\nDerived from potassium nitrate, ",
     "NO3-N 136.8 K 381.9 (label-derived) "},
    {"bag",
     "NO3-N 13 %\nK2O 46 %\nDerived from: potassium nitrate, potassium "
     "nitrate, nitrate of potash",
     "NO3-N 136.8 K 381.9 (label-derived) "},
    {"bag",
     "NO3-N 13 %\nK2O 46 %\nDerived from: something that nobody has ever heard "
     "the name of in any trade list at all",
     "NO3-N 130 K 381.9 (label-list) "},
    /* how much a list settles */
    {"bag", "NO3-N 5 %\nP2O5 10 %\nDerived from: nitric acid, phosphoric acid",
     "NO3-N 50 P 43.64 alk -4.98 (label-derived) "},
    {"bag",
     "NO3-N 5 %\nK2O 20 %\nDerived from: nitric acid, potassium hydroxide",
     "NO3-N 50 K 166 alk 0.677 (label-derived) "},
    {"bag", "K2O 20 %\nDerived from: potassium hydroxide",
     "K 166 alk 4.25 (label-derived) "},
    {"bag", "P2O5 61 %\nDerived from: phosphoric acid",
     "P 266.2 alk -8.59 (label-derived) "},
    {"bag", "K2O 46 %\nNO3-N 2 %\nDerived from: potassium nitrate",
     "NO3-N 20 K 381.9 open 8.34 (label-list) "},
    {"bag",
     "NO3-N 13 %\nK2O 46 %\nalkalinity 0\nDerived from: potassium nitrate",
     "NO3-N 136.8 K 381.9 (label-derived) "},
    {"bag", "N 13 %\nK2O 46 %\nDerived from: potassium nitrate",
     "NO3-N 136.8 K 381.9 (label-derived) "},
    {"bag",
     "N 20 %\nK2O 20 %\nDerived from: potassium nitrate, urea, ammonium "
     "nitrate",
     "1:1 total N is 20 %, and the salts it is derived from leave its forms "
     "open: NO3-N 5."},
    {"bag", "Fe 6 %\nDerived from: iron EDTA, iron DTPA",
     "Fe 60 open -1.69 EDTA (label-derived) (label-chelator-open) "},
    {"bag", "chelated Fe 6 %\nDerived from: iron sulfate, iron EDTA",
     "Na 24.7 Fe 60 EDTA (label-derived) "},
    {"bag",
     "chelated Fe 6 %\nMn 2 %\nDerived from: iron HBED, manganese sulfate",
     "Fe 60 Mn 20 open 0.728 EDTA (label-list) (label-chelator-open) "},
    {"bag",
     "Fe 1 %\nMn 1 %\nZn 1 %\nDerived from: iron DTPA, manganese EDTA, zinc "
     "EDTA",
     "Na 7.624 Fe 10 Mn 10 Zn 10 open -0.671 DTPA (label-derived) "},
    {"bag", "chelated iron 1 %\nK2O 40 %\nDerived from: potassium sulfate",
     "K 332.1 S 136.1 Fe 10 EDTA (label-derived) (label-chelator-open) "},
    {"no EDTA and DTPA iron", "Fe 6", "Fe 60 open 2.15 "},
    {"iron, not EDTA, not DTPA", "Fe 6", "Fe 60 open 2.15 "},
    {"iron D.T.P.A", "Fe 6", "Fe 60 open 2.15 "},
    {"bag", "chelated iron 6; iron chelated 2",
     "1:18 Fe, the chelated part, is declared twice"},
    /* silicates, alkalis, what is caustic */
    {"bag", "SiO2 20; K2O 9", "K 74.71 Si 93.49 alk 1.91 "},
    {"bag", "SiO2 2; K2O 30", "K 249 Si 9.349 open 6.37 "},
    {"bag", "SiO2 20",
     "1:1 this label has anions but no cation, and an acid, a salt and a base "
     "print alike;"},
    {"bag", "Na 20", "Na 200 open 8.7 "},
    {"bag", "K2O 40; Na2O 10",
     "1:1 this label has a cation but no anion, and a salt and a caustic base "
     "print alike;"},
    {"silicate", "SiO2 20; K2O 9; NO3-N 1",
     "NO3-N 10 K 74.71 Si 93.49 open 1.2 "},
    {"bag", "B 17.5", "B 175 "},
    {"bag", "NH4-N 82",
     "1:1 this label has a cation but no anion, and a salt and a caustic base "
     "print alike;"},
    {"bag", "NO3-N 13; urea-N 10",
     "1:1 this label has anions but no cation, and an acid, a salt and a base "
     "print alike;"},
    {"bag", "N 15 %",
     "1:1 total N is 15 %, and 0 % of it has a form; say which it is, NO3-N, "
     "NH4-N or urea"},
    {"bag", "Cl 40; K2O 60", "K 498.1 Cl 400 open 1.46 "},
    {"bag", "P2O5 5; K2O 50", "P 21.82 K 415.1 open 9.91 "},
    {"bag", "Si 20; Na 10; K 5", "K 50 Na 100 Si 200 alk 5.63 "},
    {"bag", "SO3 80",
     "1:1 this label has anions but no cation, and an acid, a salt and a base "
     "print alike;"},
    {"soda", "Na 43; CO3 57", "Na 432.5 alk 18.8 "},
    {"bag", "OH 30; K2O 80", "K 664.1 alk 17.6 "},
    {"bag", "Mo 39; NH4-N 11", "NH4-N 110 Mo 390 "},
    /* joined names, long names */
    {"bag",
     "NO3-N 13 %\nK2O 46 %\nDerived from: potassium\nnitrate and boric acid, "
     "and urea",
     "NO3-N 136.8 K 381.9 (label-derived) "},
    {"bag", "NO3-N 13 %\nK2O 46 %\nDerived from: and .,;",
     "NO3-N 130 K 381.9 "},
    {"bag", "Fe 6 %\nDerived from: iron DTPA, iron sulfate, iron EDDHA",
     "Fe 60 open -0.921 DTPA (label-derived) (label-chelator-open) "},
    {"bag", "Fe 6 %\nDerived from: no EDTA and no DTPA, iron sulfate",
     "Fe 60 open 2.15 (label-list) "},
    {"bag",
     "chelated Fe 6 %; chelated Mn 3 %\nDerived from: iron EDTA and DTPA, "
     "manganese EDTA",
     "Fe 60 Mn 30 EDTA (label-list) (label-chelator-open) "},
    {"bag", "Fe-EDTA 3; chelated Fe 2", "Fe 20 EDTA "},
    {"bag", "Fe-EDTA 3.0; chelated Fe 2.0",
     "1:1 Fe, the chelated part, is 3 %, more than the 2 % it is a part of"},
    {"bag", "Mn 13 %\nDerived from: manganese EDTA, disodium EDTA",
     "Mn 130 EDTA (label-list) "},
    {"bag",
     "Mn 6 %; chelated Mn 3 %\nDerived from: manganese sulfate, manganese EDTA",
     "S 8.491 Na 20.8 Mn 60 open 0.375 EDTA (label-derived) "},
    {"bag", "urea-N 46\nDerived from: potassium hydroxide, phosphoric acid",
     "urea-N 460 (label-list) (label-list) "},
    {"bag", "K2O 30; Cl 5\nDerived from: sodium hydroxide, potassium chloride",
     "1:1 this label is derived from an acid or a hydroxide, and the list does "
     "not tell ho"},
    {"bag",
     "N 10; P2O5 10; K2O 10\nDerived from: ammonium phosphate, potassium "
     "nitrate, urea phosphate, ammonium nitrate, potassium phosphate, "
     "monopotassium phosphate",
     "1:1 total N is 10 %, and the salts it is derived from leave its forms "
     "open: NO3-N 3."},
    {"bag", "P2O5 52\nPhosphoric acid 75%",
     "2:1 'Phosphoric acid 75%' is a bottle, and a label says what a gram of "
     "it "
     "brings, su"},
    /* a name against what the label holds */
    {"pH up", "NO3-N 13\nDerived from: nitric acid",
     "1:1 'pH up' is a name of a base, and bag.txt is an acid; expected a name "
     "that says w"},
    {"feed 20-20-20", "K2O 46; NO3-N 13.5",
     "1:1 the name says 20-20-20, and by its formula or label it holds "
     "13.5-0-46 % of N, P"},
};

START_TEST(rare_labels_are_read_or_asked_about)
{
    for (size_t i = 0; i < sizeof label / sizeof *label; i++)
        expect_label(label[i].name, label[i].text, label[i].expected);
}
END_TEST
