/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "memory/given.h"
#include "memory/scarce.h"

#include "suite.h"

#include <ctype.h>
#include <string.h>

#define EXAMPLES SW_SOURCE_DIR "/examples/"

struct given g;

/* In memory: what one process reads of it, no other one does. */
static FILE *open_text(const char *text)
{
    FILE *file = fmemopen((void *)text, strlen(text), "r");
    ck_assert_ptr_nonnull(file);
    return file;
}

static FILE *open_example(const char *name)
{
    char path[1024], text[8192];
    snprintf(path, sizeof path, EXAMPLES "%s", name);
    FILE *file = fopen(path, "r");
    ck_assert_msg(file, "%s", path);
    size_t size = fread(text, 1, sizeof text, file);
    ck_assert_msg(size > 0 && feof(file), "%s", path);
    fclose(file);
    FILE *copy = fmemopen(NULL, size + 1, "w+"); /* it ends in a zero */
    ck_assert_ptr_nonnull(copy);
    ck_assert_uint_eq(fwrite(text, 1, size, copy), size);
    rewind(copy);
    return copy;
}

/* What is read: names of examples, or the text of files. */
typedef struct texts {
    const char *water, *target, *shelf, *recipe, *two, *staged, *tanks, *label;
} texts;

static const texts plain = {
    .water = "well.csv",
    .target = "pepper.csv",
    .shelf = "straights.csv",
    .recipe = "recipe.csv",
    .two = "parameter,target\nK,150\nCa,110\n",
    .staged = "parameter,target,stage\nK,9000,young\nN,150,\n",
    .tanks = "tank,product,amount,unit\n"
             "A,calcium nitrate,2,kg\nB,Epsom salt,1,kg\n"
             "B,potassium sulfate,1,kg\n",
    .label = "Guaranteed analysis\nTotal nitrogen 5 %\n"
             "nitrate nitrogen 5 %\nSoluble potash 26 %\n"};

/* Invented.  An archive with limits, remarks, fractions, two units of one
 * reading, a sum and its parts; targets with a base, ratios, moles, both kinds
 * of pH; labels with acids, bases and lists; amounts by volume. */
static const texts much = {
    .water =
        "Invented report\n"
        "Lab;Probe;Datum;Zeit;Parameter;Wert;Einheit;BG;Bemerkung;Fraktion\n"
        "x;Nord;2.3.2021;8:00;pH;7,4;;;;\n"
        "x;Nord;2.3.2021;8:00;Conductivity;650;uS/cm;;20 \u00b0C;\n"
        "x;Nord;2.3.2021;8:00;Total hardness;12;\u00b0dH;;;\n"
        "x;Nord;2.3.2021;8:00;Calcium;65;mg/l;;;dissolved\n"
        "x;Nord;2.3.2021;8:00;Hydrogen carbonate;3,2;mmol/l;;;\n"
        "x;Nord;2.3.2021;8:00;NO3;20;mg/l;;;\n"
        "x;Nord;2.3.2021;8:00;NO2-N;0,1;mg/l;;;\n"
        "x;Nord;2.3.2021;8:00;Sulfate;40;mg/l;;;\n"
        "x;Nord;2.3.2021;8:00;Iron;<0,05;mg/l;0,05;;total\n"
        "x;Nord;2.3.2021;8:00;Boron;n.n.;ug/l;20;;\n"
        "x;Nord;2.3.2021;8:00;Zinc;0,2 J;mg/l;;;\n"
        "x;Nord;2.3.2021;8:00;Turbidity;1;NTU;;;\n"
        "x;S\u00fcd;3.3.2021;9:00;pH;6,9;;;;\n"
        "x;S\u00fcd;3.3.2021;9:00;Calcium;40;mg/l;;as CaCO3;\n"
        "x;S\u00fcd;3.3.2021;9:00;Sodium;30 mg/l;mg/l;;;\n",
    .target = "parameter,target,min,max,weight,unit\nbase,steiner,,,,\n"
              "Fe,25,,,,umol/L\nN:K,,0.5,0.9,,\npH,5.8,5.5,6.2,,\n"
              "pH aired,,6,8.5,,\nEC,1800,,2400,,uS/cm\nNa,,,90,,mg/L\n",
    .shelf = "product,formula,purity,label,density,min,max,fixed,unit,price,"
             "price_unit,pack,tank\n"
             "calcium nitrate,,,NO3-N 14.4; NH4-N 1.1; Ca 19,,0.1,2,,g/L,"
             "19.50,/pack,25kg,A\n"
             "muriate,KCl,99 %,,,,,10,mg/L,0.5,/kg,,\n"
             "KNO3,,,,,,,,,38,/pack,25kg,B\nEpsom salt,,,,,,,,,,,,\n"
             "nitric acid 38 %,HNO3,0.38,,1.24,,,,,0.95,/L,20L,acid\n"
             "potash lye,KOH,0.5,,1.5,,1,,mL/L,2,/L,,\n"
             "iron,,,Fe-DTPA 11,,,,,,14.80,/kg,5kg,\n"
             "premix,,,\"N 4, NO3-N 4, P2O5 10, K2O 30, MgO 4, B 0.02, "
             "Fe-EDTA 0.1\",,,,,,,,,\n"
             "potassium sulfate,,,,,,,,,,,,\nMKP,,,,,,,,,,,,\n",
    .recipe = "product,amount,unit\ncalcium nitrate,0.9,g/L\n"
              "KNO3,1.2,oz/100gal\nnitric acid 38 %,0.1,mL/L\n"
              "premix,100,ppm N\nmono ammonium phosphate,50,mg/L\n",
    .two = "parameter,target,min,max\nK,150,120,\nCa,110,,140\n"
           "K:Ca,,,1.6\nP,30,,\npH,5.8,,\npH aired,,6,8.5\n",
    .staged = "parameter,target,stage\nbase,steiner,\nK,250,young\n"
              "NO3-N,150,\nK,none,old\n",
    .tanks = "tank,product,amount,unit\nA,calcium nitrate,2,kg\n"
             "B,Epsom salt,4,lb\nC,nitric acid 38 %,1,L\n"
             "B,mono ammonium phosphate,10,g\n",
    .label = "ACME 5-11-26\nGUARANTEED ANALYSIS\n"
             "Total Nitrogen (N) ........ 5%\n  5% Nitrate Nitrogen\n"
             "Available Phosphate (P2O5) 11%\nSoluble Potash (K2O) 26%\n"
             "Magnesium (Mg) 3%\n  3% Water Soluble Magnesium\nSulfur (S) 4%\n"
             "Boron (B) 0.05%\nIron (Fe) 0.3%\n  0.3% Chelated Iron\n"
             "Zinc (Zn) 0.015%\nDerived from: potassium nitrate, "
             "magnesium sulfate, monopotassium phosphate, potassium sulfate, "
             "boric acid, iron DTPA, zinc EDTA\n"
             "Chlorine (Cl) max 0.5%\n"};

/* Invented.  A water over a max, with readings below their limits; limits in
 * each other's way; a bag that leaves ions out, products that meet in a tank
 * they are told to share. */
static const texts hard = {
    .water = "parameter,value,unit\npH,8.1,\nEC,1.6,mS/cm\nTDS,990,mg/L\n"
             "Ca,110,mg/L\nMg,30,mg/L\nNa,130,mg/L\nK,<2,mg/L\nCl,150,mg/L\n"
             "SO4,180,mg/L\nNO3,<5,mg/L\nalkalinity,240,mg/L CaCO3\n"
             "hardness,395,mg/L CaCO3\nFe,ND,mg/L\nB,0.9,mg/L\n",
    .target = "parameter,target,min,max\nN,200,190,\nNO3-N,,,60\n"
              "NH4-N,,,10\nK,200,,\nNa,,,90\nCl,,,100\nB,0.3,,0.5\n"
              "pH,5.8,5.5,6\nEC,,,2.2\n",
    .shelf = "product,formula,label,density,fixed,unit,tank,price,price_unit\n"
             "calcium nitrate,,NO3-N 14.4; NH4-N 1.1; Ca 19,,,,A,1,/kg\n"
             "potassium sulfate,K2SO4,,,0.4,g/L,A,2,/kg\n"
             "MKP,KH2PO4,,,,,A,3,/kg\n"
             "bag,,NH4-N 3.5; urea-N 20.5; P2O5 8; K2O 16,,,,B,1,/kg\n"
             "nitric acid 38 %,,,1.24,,,,1,/L\n"
             "caustic,KOH,,,,,,2,/kg\niron,,Fe-EDTA 6,,,,B,9,/kg\n",
    .recipe = "product,amount,unit\ncalcium nitrate,1.2,g/L\n"
              "potassium sulfate,0.5,g/L\nMKP,0.3,g/L\nbag,0.4,g/L\n"
              "iron,0.03,g/L\nnitric acid 38 %,0.2,mL/L\n",
    .two = "parameter,target,min,max\nK,200,180,220\nCa,170,150,\nP,40,,\n"
           "Na,,,90\nN:K,,1,1.1\nS,,,60\npH,5.8,5.6,6\npH aired,,6,7.5\n",
    .staged = "parameter,target,stage\nK,250,young\nN,150,\nNO3-N,150,old\n",
    .tanks = "tank,product,amount,unit\nA,calcium nitrate,20,kg\n"
             "A,potassium sulfate,10,kg\nB,MKP,5,kg\nacid,caustic,1,kg\n",
    .label = "Trace mix\nTotal nitrogen 10 %\nnitrate nitrogen 5 %\n"
             "water insoluble nitrogen 2 %\nother water soluble nitrogen 3 %\n"
             "Soluble Potash (K2O) 16 %\nchelated iron 2 %\nSold by nobody\n"
             "Derived from: potassium nitrate, urea, iron HBED\n"};

/* An example, or the text itself. */
static FILE *open_of(const char *text)
{
    return strchr(text, '\n') ? open_text(text) : open_example(text);
}

static void make_records(const texts *of, sw_error *e)
{
    FILE *two = open_of(of->two);
    FILE *staged = open_of(of->staged);
    g.water_file = open_of(of->water);
    g.target_file = open_of(of->target);
    g.shelf_file = open_of(of->shelf);
    g.recipe_file = open_of(of->recipe);
    g.tank_file = open_of(of->tanks);
    g.label_file = open_of(of->label);
#define READ(call)                                                             \
    ck_assert_msg((call) == SW_OK, "%lu:%lu: %s", e->line, e->column,          \
                  e->message)
    READ(sw_waters_read(g.water_file, "w", &g.well, e));
    READ(sw_target_read(g.target_file, "t", &g.target, e));
    READ(sw_target_read(two, "2", &g.two, e));
    READ(sw_target_read(staged, "3", &g.staged, e));
    READ(sw_shelf_read(g.shelf_file, "s", &g.shelf, e));
    READ(sw_recipe_read(g.recipe_file, "r", g.shelf, &g.recipe, e));
#undef READ
    fclose(two);
    fclose(staged);
}

static void make(const texts *of)
{
    sw_error e = {0};
    sw_notes notes = {0};
    sw_solver *solver;
    g.conditions = sw_conditions_default();
    g.setup = sw_stock_setup_default(200);
    g.tolerances = sw_tolerances_default(1000);
    make_records(of, &e);
    ck_assert_int_eq(
        sw_water_complete(g.well->items, &g.conditions, g.water, &notes, &e),
        SW_OK);
    sw_notes_free(&notes);
    const sw_mix mix = {g.water, g.two, g.shelf, g.recipe,
                        .conditions = g.conditions};
    sw_problem problem = sw_problem_default();
    problem.waters = g.water;
    problem.water_count = 1;
    problem.target = g.two;
    problem.shelf = g.shelf;
    ck_assert_int_eq(sw_solver_new(&solver, &e), SW_OK);
    ck_assert_int_eq(sw_formulate(solver, &problem, &g.solution, &e), SW_OK);
    ck_assert_int_eq(sw_assess(&mix, &g.assessment, &e), SW_OK);
    ck_assert_int_eq(sw_stock_plan(solver, &mix, &g.setup, &g.stock, &e),
                     SW_OK);
    sw_solver_free(solver);
}

void make_given(void)
{
    make(&plain);
}

void make_much_given(void)
{
    make(&much);
}

void make_hard_given(void)
{
    scarce_by_calls();
    make(&hard);
}

void make_clashing_given(void)
{
    texts clash = hard;
    clash.two = "parameter,target,min,max\nK,230,180,260\nCa,170,150,\n"
                "P,40,,\nNa,,,90\nCl,,,120\npH,5.8,5.6,6\n";
    scarce_by_calls();
    make(&clash);
}

void free_given(void)
{
    sw_stock_free(g.stock);
    sw_assessment_free(g.assessment);
    sw_solution_free(g.solution);
    sw_recipe_free(g.recipe);
    sw_shelf_free(g.shelf);
    sw_target_free(g.staged);
    sw_target_free(g.two);
    sw_target_free(g.target);
    sw_waters_free(g.well);
    FILE *files[] = {g.water_file,  g.target_file, g.shelf_file,
                     g.recipe_file, g.tank_file,   g.label_file};
    for (size_t i = 0; i < sizeof files / sizeof *files; i++)
        fclose(files[i]);
}

sw_target *target_copied(void)
{
    static sw_target target;
    static sw_target_row rows[32];
    target = *g.target;
    target.rows = memcpy(rows, target.rows, target.count * sizeof *rows);
    return &target;
}

sw_shelf *shelf_copied(void)
{
    static sw_shelf shelf;
    static sw_product products[SW_MAX_PRODUCTS];
    shelf = *g.shelf;
    shelf.products =
        memcpy(products, shelf.products, shelf.count * sizeof *products);
    return &shelf;
}

sw_error unfilled(void)
{
    sw_error error;
    memset(&error, 0xA5, sizeof error);
    return error;
}

static bool is_text(const char *text, size_t size)
{
    size_t length = strnlen(text, size);
    for (size_t i = 0; i < length; i++)
        if (iscntrl((unsigned char)text[i]) || text[i] == '\xA5')
            return false;
    return length < size;
}

bool is_filled(const sw_error *e, sw_status status)
{
    return e->status == status && e->message[0] &&
           is_text(e->message, sizeof e->message) &&
           is_text(e->file, sizeof e->file) && e->line < 100 &&
           e->column < 1000;
}

const char *wrong_with(sw_status status, bool failed, bool forgets,
                       const sw_error *error)
{
    bool fits = status == (failed ? SW_ERR_MEMORY : SW_OK);
    if (scarce_left() != 0)
        return "a leak";
    if (!fits && !forgets && !scarce_of_numbers())
        return sw_status_text(status);
    return status && !is_filled(error, status) ? "no words" : NULL;
}
