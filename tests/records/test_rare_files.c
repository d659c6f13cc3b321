/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Targets, shelves, recipes, tanks and tables of waters in words that seldom
 * stand in one, and what is read of each or why it is refused. */
#include "suite.h"

#include "records/gathered.h"

#include "quantity/text.h"
#include "records/stream.h"
#include "saltwright.h"

#include <math.h>
#include <string.h>

enum { TOLD = 600 };

static void add_number(char *told, const char *name, double value)
{
    if (!isnan(value))
        sw_text_add(told, TOLD, " %s %.6g", name, value);
}

static sw_status read_target(FILE *stream, char *told, sw_error *error)
{
    sw_target *target = NULL;
    sw_status status = sw_target_read(stream, "t", &target, error);
    for (size_t i = 0; target && i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->set)
            continue;
        sw_text_add(told, TOLD, "%s%s%s:", *told ? "; " : "", row->name,
                    row->aired ? " aired" : "");
        add_number(told, "is", row->target);
        add_number(told, "min", row->min);
        add_number(told, "max", row->max);
    }
    sw_target_free(target);
    return status;
}

static sw_status read_shelf(FILE *stream, char *told, sw_error *error)
{
    sw_shelf *shelf = NULL;
    sw_status status = sw_shelf_read(stream, "s", &shelf, error);
    for (size_t i = 0; shelf && i < shelf->count; i++) {
        const sw_product *p = &shelf->products[i];
        sw_text_add(told, TOLD, "%s%s:", *told ? "; " : "", p->name);
        add_number(told, "purity", p->purity);
        add_number(told, "min", p->min_g_per_l);
        add_number(told, "max", p->max_g_per_l);
        add_number(told, "fixed", p->fixed_g_per_l);
        add_number(told, "price", p->price_per_kg);
    }
    sw_shelf_free(shelf);
    return status;
}

static sw_status read_recipe(FILE *stream, char *told, sw_error *error)
{
    sw_shelf *shelf = calloc(1, sizeof *shelf);
    sw_recipe *recipe = NULL;
    sw_status status = sw_recipe_read(stream, "r", shelf, &recipe, error);
    for (size_t i = 0; recipe && i < recipe->count; i++)
        add_number(told, shelf->products[i].name, recipe->g_per_l[i]);
    sw_recipe_free(recipe);
    sw_shelf_free(shelf);
    return status;
}

static sw_status read_tanks(FILE *stream, char *told, sw_error *error)
{
    sw_shelf *shelf = calloc(1, sizeof *shelf);
    sw_placement *mixed = NULL;
    sw_status status = sw_placements_read(stream, "m", shelf, &mixed, error);
    for (size_t i = 0; mixed && i < shelf->count; i++)
        for (int t = 0; t < SW_TANKS; t++)
            if (mixed[i].g[t] > 0)
                sw_text_add(told, TOLD, " %s %s %.6g", shelf->products[i].name,
                            sw_tank_text((sw_tank)t), mixed[i].g[t]);
    sw_placements_free(mixed);
    sw_shelf_free(shelf);
    return status;
}

typedef sw_status reader(FILE *stream, char *told, sw_error *error);

static const struct {
    reader *read;
    const char *text, *expected;
} file[] = {
    /* targets */
    {read_target, "parameter,target\n:K,1\n",
     "2:1 this ratio does not have two sides, expected one component o"},
    {read_target, "parameter,target\nK :Ca,1\n", "K :Ca: is 1"},
    {read_target, "parameter,target,unit\nEC at 20 C,1.8,mS/cm\nK,200,mg/L\n",
     "2:1 this parameter cannot be a target, expected a component such"},
    {read_target, "parameter,target,unit\nhardness,1.8,meq/L\n",
     "2:1 this parameter cannot be a target, expected a component such"},
    {read_target, "parameter,target,unit\nTDS,1000,mg/L\n",
     "2:1 this parameter cannot be a target, expected a component such"},
    {read_target, "parameter,target,stage\nbase,steiner,\nN,200,\n",
     "3:3 the base has targets for the forms of nitrogen, NO3-N 168.1 "},
    {read_target,
     "parameter,target,stage\nbase,steiner,\nN,200,late\nK,300,early\n",
     "3:3 the base has targets for the forms of nitrogen, NO3-N 168.1 "},
    {read_target,
     "parameter,target,stage\nbase,yamazaki-cucumber,\nN,200,late\nP,none,"
     "late\n",
     "3:3 the base has targets for the forms of nitrogen, NO3-N 182.1 "},
    {read_target,
     "parameter,target,stage\nbase,yamazaki-cucumber,\nK,none,early\nK,300,"
     "late\nK,none,late\n",
     "5:1 'K' is already there as 'K' in line 4, expected each paramet"},
    {read_target,
     "parameter,target,stage\nbase,yamazaki-cucumber,\nmolybdate,none,\n", ""},
    {read_target,
     "parameter,target,min,max,stage\npH aired,6,5.8,6.5,young\npH "
     "aired,,6,7,old\nK,200,,,\n",
     "pH aired aired: is 6 min 5.8 max 6.5; pH aired aired: min 6 max 7; K: is "
     "200"},
    {read_target, "parameter;target;max\nK;200,5;\nCa;1.062;\n",
     "3:4 '1.062' could be 1062 beside the decimal comma of line 2, ex"},
    {read_target, "parameter;target;max\nK;200,5;\nCa;0.062;\n",
     "3:4 '0.062' does not go with the decimal comma of line 2, expect"},
    {read_target, "parameter;target;max\nK;200,5;\nCa;.062;\n",
     "3:4 '.062' does not go with the decimal comma of line 2, expecte"},
    {read_target, "parameter;target;max\nK;200,5;\nCa;1062.500;\n",
     "3:4 '1062.500' does not go with the decimal comma of line 2, exp"},
    {read_target, "parameter;target;max\nK;200,5;\nCa;1.0625;\n",
     "3:4 '1.0625' does not go with the decimal comma of line 2, expec"},
    {read_target, "parameter;target;max\nK;200.5;\nCa;1,062;\n",
     "3:4 '1,062' could be 1062 beside the decimal point of line 2, ex"},
    {read_target, "parameter;target;max\nK;+1,200;\n",
     "2:3 '+1,200' could be 1,2 with a decimal mark or 1200 with a mar"},
    {read_target, "parameter;target;max\nK;-1,200;\n",
     "2:3 the target '-1,200' is negative, expected 0 or more, such as"},
    {read_target, "parameter;target;max\nK;,500;\n", "K: is 0.5"},
    {read_target, "parameter;target;max\nK;1,200e1;\n", "K: is 12"},
    {read_target, "parameter;target;max\nK;0,200;\n", "K: is 0.2"},
    {read_target, "parameter;target;max\nK;1,234.567,8;\n",
     "2:3 '1,234.567,8' is not a number, expected one such as 12.5; le"},
    {read_target, "parameter;target;max\nK;,234,567;\n",
     "2:3 ',234,567' is not a number, expected one such as 12.5; leave"},
    {read_target, "parameter;target;max\nK;1234,567,890;\n",
     "2:3 '1234,567,890' is not a number, expected one such as 12.5; l"},
    {read_target, "parameter;target;max\nK;1'234;\n",
     "2:3 '1'234' has a mark between its thousands, expected digits an"},
    {read_target, "parameter;target;max\nK;1'234'5;\n",
     "2:3 '1'234'5' is not a number, expected one such as 12.5; leave "},
    {read_target, "parameter;target;max\nK;+inf;\n",
     "2:3 '+inf' is not a finite number, expected one such as 12.5; le"},
    {read_target, "parameter;target;max\nK;+nan;\n",
     "2:3 '+nan' is not a finite number, expected one such as 12.5; le"},
    {read_target, "parameter|target|max\nK|200|\nCa|100|\n",
     "K: is 200; Ca: is 100"},
    {read_target, "parameter|target|max\nK|200|3|4|5\n",
     "2:9 this row has 5 cells where the header has 3, expected a cell"},
    {read_target, "parameter,target\n\"K\",\"20\r0x\"\n",
     "2:5 '20 0x' is not a number, expected one such as 12.5; leave th"},
    {read_target, "parameter,target\n\"K\",\"20\r\n0x\"\n",
     "2:5 '20  0x' is not a number, expected one such as 12.5; leave t"},
    {read_target, "parameter\ttarget\nK \t 200\t\n\tCa\t100\n",
     "3:5 this row has 3 cells where the header has 2, expected a cell"},
    {read_target, "parameter,target\nK,\"200\n",
     "2:3 the quote that opens here never closes, expected a closing q"},
    /* shelves */
    {read_shelf, "product,purity\nKNO3,200\n",
     "2:6 this purity is not above 0 and at most 100 %, expected a fra"},
    {read_shelf, "product,purity\nKNO3,99\n",
     "2:6 this purity is above 1 without a percent sign, expected a fr"},
    {read_shelf, "product,purity\nnitric acid 38 %,38 %\n",
     "nitric acid 38 %: purity 0.38"},
    {read_shelf, "product,purity\nnitric acid 38 %,50 %\n",
     "2:1 the name says 38 %, and by its purity or label it holds 50 %"},
    {read_shelf, "product,purity\naqua ammonia,20 %\n",
     "2:1 this liquid has another strength than in the catalogue but n"},
    {read_shelf, "product,purity\nboric acid,90 %\n", "boric acid: purity 0.9"},
    {read_shelf, "product,purity\niron chelate (DTPA),90 %\n",
     "2:21 a purity does not apply to this product, whose composition i"},
    {read_shelf, "product,min,max,fixed,unit\nKNO3,2,5,1,g/L\n",
     "2:10 fixed is outside min and max, expected fixed alone, such as "},
    {read_shelf, "product,min,max,fixed,unit\nKNO3,2,5,6,g/L\n",
     "2:10 fixed is outside min and max, expected fixed alone, such as "},
    {read_shelf, "product,min,max,unit\nKNO3,5,2,g/L\n",
     "2:6 min is above max, expected min at most max, such as 100 and "},
    {read_shelf, "product,min,max,fixed,unit\nKNO3,2,5,2,mg/L\n",
     "KNO3: purity 1 min 0.002 max 0.005 fixed 0.002"},
    {read_shelf, "product,label\nbag,NO3-N 13; K2O 46\nbag,NO3-N 13; K2O 46\n",
     "3:1 the product 'bag' is already in line 2, expected each produc"},
    {read_shelf, "product\nKNO3\npotassium nitrate\n",
     "3:1 'potassium nitrate' is the same product as 'KNO3' in line 2 "},
    /* recipes */
    {read_recipe, "product,amount,unit\nurea,100,ppm N\nMKP,30,mg/L of P\n",
     " urea 0.214379 MKP 0.131805"},
    {read_recipe, "product,amount,unit\nurea,100,ppm pH\n",
     "2:10 the unit 'ppm pH' is not known; write it like mg/L, mmol/L, "},
    {read_recipe, "product,amount,unit\nurea,100,furlong N\n",
     "2:10 the unit 'furlong' is not known; write it like mg/L, mmol/L,"},
    {read_recipe, "product,amount,unit\nurea,100, N\n",
     "2:11 the unit 'N' says too little; choose: eq/L, written out"},
    {read_recipe, "product,amount,unit\nurea,100,mg/L often N\n",
     "2:10 the unit 'mg/L often' is not known; write it like mg/L, mmol"},
    {read_recipe, "product,amount,unit\nurea,100,mg/L of alkalinity\n",
     "2:10 the unit 'mg/L of alkalinity' is not known; write it like mg"},
    {read_recipe,
     "product,amount,unit\nurea,100,"
     "0123456789012345678901234567890123456789012345678901234567890123456789 "
     "N\n",
     "2:10 the unit '01234567890123456789012345678901234567890123456789"},
    {read_recipe, "product,amount,unit\nKCl,100,ppm N\n",
     "2:9 'KCl' brings no N, so no amount of it gives that"},
    {read_recipe, "product,amount,unit\nKCl,100,ppm\n",
     "2:9 '100 ppm' could be either of: 100 mg/L (of the product) or 1"},
    {read_recipe, "product,amount,unit\nurea,100,ppm\n",
     "2:10 '100 ppm' could be either of: 100 mg/L (of the product) or 1"},
    {read_recipe, "product,amount,unit\nH2O,100,ppm\n",
     "2:1 'H2O' is not in the catalogue; expected a product of the cat"},
    /* tanks */
    {read_tanks,
     "tank,product,amount,unit\nacid,nitric acid 38 %,1,L\nA,urea,2,kg\n",
     " nitric acid 38 % C 1233 urea A 2000"},
    {read_tanks, "tank,product,amount,unit\nD,urea,2,kg\n",
     "2:1 'D' is not a tank, expected A, B or C"},
    {read_tanks, "tank,product,amount,unit\n,urea,2,kg\n",
     "2:1 '' is not a tank, expected A, B or C"},
};

START_TEST(rare_files_are_read_or_refused)
{
    for (size_t i = 0; i < sizeof file / sizeof *file; i++) {
        char told[TOLD] = "";
        sw_error error = {0};
        FILE *stream = stream_of(file[i].text);
        if (file[i].read(stream, told, &error) != SW_OK)
            (void)snprintf(told, sizeof told, "%lu:%lu %.60s", error.line,
                           error.column, error.message);
        fclose(stream);
        ck_assert_msg(!strcmp(told, file[i].expected), "%s\nis %s\nnot %s",
                      file[i].text, told, file[i].expected);
    }
}
END_TEST

START_TEST(a_label_that_is_no_text_or_of_a_name_taken_is_refused)
{
    char text[4200];
    sw_error error;
    sw_shelf *shelf = calloc(1, sizeof *shelf);
    const struct {
        size_t length;
        sw_status status;
    } rows[] = {{20, SW_OK},
                {20, SW_ERR_DUPLICATE},
                {4199, SW_ERR_SYNTAX},
                {30, SW_ERR_SYNTAX}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        memset(text, ' ', sizeof text);
        memcpy(text, "NO3-N 13; K2O 46", 16);
        text[25] = '\0';
        FILE *stream = stream_of_bytes(text, rows[i].length);
        sw_status status = sw_shelf_add_label(shelf, i < 2 ? "bag" : "other",
                                              stream, "l.txt", &error);
        ck_assert_int_eq(status, rows[i].status);
        fclose(stream);
    }
    FILE *stream = stream_of("nothing\nthat is known");
    ck_assert_int_ne(sw_shelf_add_label(shelf, "third", stream, "l", NULL),
                     SW_OK);
    fclose(stream);
    sw_shelf_free(shelf);
}
END_TEST

/* Of a head that says nothing; or, where there is none, one of no use. */
START_TEST(words_before_the_readings_name_the_samples)
{
    static const char *const files[] = {
        "Quux,pH,Ca [mg/L]\nnorth,7.1,40\nsouth,7.2,50\n",
        "Lab,pH,Ca [mg/L]\nnorth,7.1,40\nsouth,7.2,50\n",
        "Lab,Quux,pH,Ca [mg/L]\nx,north,7.1,40\nx,south,7.2,50\n"};
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        sw_waters *w = gather(files[i], NULL);
        ck_assert_str_eq(w->items[0].sample, "north");
        ck_assert_str_eq(w->items[1].sample, "south");
        sw_waters_free(w);
    }
}
END_TEST

/* Of two columns that could, whichever stands first. */
START_TEST(what_is_headed_sample_names_it)
{
    static const char *const texts[] = {
        "Brunnen,sample,pH,Ca [mg/L]\nnorth,w1,7.1,40\n",
        "sample,Brunnen,pH,Ca [mg/L]\nw1,north,7.1,40\n"};
    for (size_t i = 0; i < 2; i++) {
        sw_waters *w = gather(texts[i], NULL);
        ck_assert_uint_eq(w->count, 1);
        ck_assert_str_eq(w->items[0].sample, "w1");
        sw_waters_free(w);
    }
}
END_TEST
