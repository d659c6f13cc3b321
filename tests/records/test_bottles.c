/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether the strength of an acid or a solution is given, and what its name
 * says of it in the measures of the trade. */
#include "saltwright.h"
#include "stream.h"
#include "comma_locale.h"
#include "suite.h"

#include <string.h>

/* The refusal of a shelf of that row, "" where it is taken. */
static sw_error error_of(const char *row)
{
    char text[300];
    sw_shelf *shelf = NULL;
    sw_error error = {.message = ""};
    (void)snprintf(text, sizeof text,
                   "product,formula,purity,label,density\n%s\n", row);
    FILE *stream = stream_of(text);
    if (sw_shelf_read(stream, "s.csv", &shelf, &error) == SW_OK)
        error.message[0] = '\0';
    fclose(stream);
    sw_shelf_free(shelf);
    return error;
}

/* Sold as a solution, or said to be one: no strength goes without saying. */
static const char *const without[] = {
    "nitric acid,HNO3,,,",
    "pH down,HNO3,,,",
    "nitric acid 60 %,HNO3,,,1.37",
    "x,HCl,,,",
    "x,H3PO4,,,",
    "x,H2SO4,,,",
    "x,NH3,,,",
    "x,NH4OH,,,",
    "lye,KOH,,,1.45",
    "KOH solution,KOH,,,",
    "soda,NaOH,,,1.33",
    "citric acid liquid,C6H8O7,,,",
    "x,K2SiO3,,,1.3",
    "x,Ca(NO3)2,,,1.5",
    "Natronlauge,NaOH,,,",
    "Natronlauge 50 %,NaOH,,,",
    "Kalilauge,KOH,,,",
    "soda lye 30 %,NaOH,,,",
    "lessive de soude 30 %,NaOH,,,",
    "caustic soda 50 %,NaOH,,,",
    "Kaliwasserglas,K2SiO3,,,",
    "potassium silicate 30 %,K2SiO3,,,",
    "citric acid 50 %,C6H8O7,,,",
    "potassium carbonate 50 %,K2CO3,,,",
    "calcium nitrate solution,Ca(NO3)2,,,",
    "calcium chloride 35 %,CaCl2,,,",
    "magnesium nitrate liquid 50 %,Mg(NO3)2,,,",
    /* as an export fills it in */
    "nitric acid,HNO3,1,,",
    "Natronlauge,NaOH,1,,",
    "calcium nitrate solution,Ca(NO3)2,100%,,",
};

START_TEST_EACH(a_solution_without_a_strength_is_refused_where_it_belongs,
                sizeof without / sizeof *without)
{
    sw_error error = error_of(without[_i]);
    ck_assert_msg(strstr(error.message, "such as 0.") != NULL, "%s: %s",
                  without[_i], error.message);
    ck_assert_int_eq(error.status, SW_ERR_MISSING);
    ck_assert_uint_eq(error.line, 2);
    ck_assert_uint_eq(error.column,
                      1 + strcspn(strchr(without[_i], ',') + 1, ",") + 2 +
                          strcspn(without[_i], ","));
}
END_TEST

static const struct {
    const char *row, *such;
} such_as[] = {
    {"phosphoric acid 85 %,H3PO4,,,1.69", "such as 0.85 (85 %"},
    {"phosphoric acid,H3PO4,,,1.69", "such as 0.85 (85 %"},
    {"sulfuric acid 93 %,H2SO4,,,", "such as 0.93 (93 %"},
    {"nitric acid,HNO3,1,,", "such as 0.38 (38 %"},
    {"caustic soda 50 %,NaOH,,,", "such as 0.5 (50 %"},
    {"x,K2SiO3,,,1.3", "such as 0.5 (50 %"}, /* it says nothing */
    {"phosphoric acid 54 % P2O5,H3PO4,,,", "such as 0.59 (59 %"},
};

START_TEST_EACH(the_strength_offered_is_that_which_the_bottle_says,
                sizeof such_as / sizeof *such_as)
{
    sw_error error = error_of(such_as[_i].row);
    ck_assert_msg(strstr(error.message, such_as[_i].such) != NULL, "%s: %s",
                  such_as[_i].row, error.message);
}
END_TEST

/* Solids are as pure as nothing else is said. */
static const char *const solids[] = {
    "citric acid,C6H8O7,,,",
    "KOH flakes,KOH,,,",
    "x,KOH,,,",
    "x,NaOH,,,",
    "x,H3BO3,,,",
    "x,KHSO4,,,",
    "x,CO(NH2)2·H3PO4,,,",
    "x,KH2PO4,,,",
    "x,Ca(OH)2,,,",
    "x,K2SiO3,,,",
    "x,KHCO3,,,",
    "KOH solution grade,KOH,,,",
    "water soluble x,C6H8O7,,,",
    "Kalilauge fest,KOH,,,",
    "lye,NaOH,,,",
    "caustic soda 98 %,NaOH,,,",
    "KOH flakes,KOH,1,,",
    "potassium carbonate 68 % K2O,K2CO3,,,",
    "boric acid 17 %,H3BO3,,,",
    "monopotassium phosphate 52 %,KH2PO4,,,",
    "hydrated lime 70 % CaO,Ca(OH)2,,,",
    "Borsäure 17 % B,H3BO3,,,",
    "calcium chloride 77 %,CaCl2·2H2O,,,",
    "calcium chloride,CaCl2,,,",
    "ammonium nitrate 34 %,NH4NO3,,,",
    "zinc sulfate 22 %,ZnSO4·7H2O,,,",
};

START_TEST_EACH(a_solid_is_taken_without_one, sizeof solids / sizeof *solids)
{
    sw_error error = error_of(solids[_i]);
    ck_assert_msg(!*error.message, "%s: %s", solids[_i], error.message);
}
END_TEST

/* Degrees Baume by 145 - 145 / d, and 140 / d - 130 of what is lighter than
 * water; 42 of nitric acid are 67 %, 66 of sulfuric 93 %, 20 of hydrochloric
 * 31.5 % (handbook figures, values from memory). */
static const struct {
    const char *row, *said;
} names[] = {
    {"nitric acid 42°Bé,HNO3,0.38,,1.24", "says 42 °Bé"},
    {"nitric acid 42 Be,HNO3,0.38,,1.24", "says 42 °Bé"},
    {"nitric acid 36 Be,HNO3,0.38,,1.24", "says 36 °Bé"},
    {"Baumé 42 nitric acid,HNO3,0.38,,1.24", "says 42 °Bé"},
    {"nitric acid 42 degrees Baumé,HNO3,0.38,,1.24", "says 42 °Bé"},
    {"nitric acid 42°Bé,HNO3,0.67,,1.40", ""},
    {"sulfuric acid 66 Be,H2SO4,0.93,,1.83", ""},
    {"hydrochloric acid 20 Be,HCl,0.32,,1.16", ""},
    {"ammonia water 24 Be,NH3,0.25,,0.91", ""},
    {"ammonia water 26 Be,NH3,0.10,,0.96", "says 26 °Bé"},
    {"nitric acid 1.37,HNO3,0.38,,1.24", "says 1.37 g/mL"},
    {"nitric acid d=1.40,HNO3,0.38,,1.24", "says 1.4 g/mL"},
    {"sulfuric acid 1.84,H2SO4,0.37,,1.28", "says 1.84 g/mL"},
    {"sulfuric acid density 1840 kg/m3,H2SO4,0.37,,1.28", "says 1.84 g/mL"},
    {"sulfuric acid 98,H2SO4,0.96,,1.84", ""},
    {"sulfuric acid 1.84,H2SO4,0.98,,1.84", ""},
    {"nitric acid 1.24,HNO3,0.38,,1.24", ""},
    {"nitric acid 10 M,HNO3,0.38,,1.24", "says 10 mol/L"},
    {"nitric acid 7.5 M,HNO3,0.38,,1.24", ""},
    {"nitric acid 13 N,HNO3,0.38,,1.24", "says 13 eq/L"},
    {"sulfuric acid 36 N,H2SO4,0.98,,1.84", ""},
    {"nitric acid 600 g/L,HNO3,0.38,,1.24", "says 600 g/L"},
    {"nitric acid 470 g/L,HNO3,0.38,,1.24", ""},
    {"nitric acid 60-65,HNO3,0.38,,1.24", "says 65 %"},
    {"nitric acid 60-65 %,HNO3,0.65,,1.39", ""},
    {"HNO3-60,HNO3,0.38,,1.24", "says 60 %"},
    {"acido nitrico al 60,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 38,HNO3,0.60,,1.37", "says 38 %"}, /* its Bé, too */
    {"fuming nitric acid,HNO3,0.38,,1.24", "says fuming"},
    {"concentrated nitric acid,HNO3,0.38,,1.24", "says concentrated"},
    {"nitric acid conc.,HNO3,0.65,,1.39", ""},
    {"Phosphorsäure konzentriert,H3PO4,0.59,,1.42", "says konzentriert"},
    {"citric acid 50 %,C6H8O7,0.25,,1.1", "says 50 %"},
    {"nitric acid 60 %,HNO3,1,,", "says 60 %"},
    {"citric acid 50 %,C6H8O7,0.99,,", "says 50 %"},
    {"caustic soda 50 %,NaOH,0.98,,", "says 50 %"},
    {"caustic soda 50 %,NaOH,0.5,,1.53", ""},
    {"potassium silicate 30 %,K2SiO3,0.9,,", "says 30 %"},
    {"lye,KOH,0.5,,1.51", ""},
    {"lye,NaOH,0.5,,1.53", ""},
    {"lye,HNO3,0.38,,1.24", "lye"},
    {"nitric acid 60 Gew.-%,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 60 gew%,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 60 mass %,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 60 g/100 g,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 38 Gew.-%,HNO3,0.38,,1.24", ""},
    {"nitric acid 600 g/kg,HNO3,0.38,,1.24", "says 600 g/kg"},
    {"nitric acid 380 g/kg,HNO3,0.38,,1.24", ""},
    {"nitric acid 1240 kg/m3,HNO3,0.60,,1.37", "says 1.24 g/mL"},
    {"nitric acid 60 % was 38 %,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 38 % or 60 %,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 60 % (1.24),HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 38 % + 62 % water,HNO3,0.38,,1.24", ""},
    {"nitric acid 38 % (1.24),HNO3,0.38,,1.24", ""},
    {"nitric acid 38 % drum 60,HNO3,0.38,,1.24", ""},
    {"battery acid,HNO3,0.38,,1.24", "another product"},
    {"battery acid,H2SO4,0.37,,1.28", ""},
    {"bleekwater,HNO3,0.38,,1.24", "a name of a base"},
    {"60 nitric acid,HNO3,0.38,,1.24", "says 60 %"},
    {"60% nitric acid,HNO3,0.38,,1.24", "says 60 %"},
    {"38 nitric acid,HNO3,0.38,,1.24", ""},
    {"nitric60,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 60 \xD9\xAA,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 60 Vol.-%,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric38,HNO3,0.38,,1.24", ""},
    {"nitric acid \xEF\xBC\x96\xEF\xBC\x90 %,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 53/60/67 %,HNO3,0.38,,1.24", "says"},
    {"nitric acid 53/60/67 %,HNO3,0.60,,1.37", ""},
    {"nitric acid sixty percent,HNO3,0.38,,1.24", "in digits"},
    {"nitric acid sixty %,HNO3,0.38,,1.24", "in digits"},
    {"nitric acid 60.60.60 %,HNO3,0.38,,1.24", "in digits"},
    {"nitric acid 60 p.c.,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 38 p.c.,HNO3,0.38,,1.24", ""},
    {"nitric acid 38 % 10 pc,HNO3,0.38,,1.24", ""}, /* pieces */
    {"nitric acid 38 % 10 perc,HNO3,0.38,,1.24", ""},
    {"salpetersyre 68 prosent,HNO3,0.38,,1.24", "says 68 %"},
    {"salpetersyre 38 prosent,HNO3,0.38,,1.24", ""},
    {"salpetersyre 60 vægt%,HNO3,0.38,,1.24", "says 60 %"},
    {"salpetersyre 38 vægt%,HNO3,0.38,,1.24", ""},
    {"nitric acid 60 m/m,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 600 \xE2\x80\xB0,HNO3,0.38,,1.24", "says 600 g/kg"},
    {"nitric acid 380 \xE2\x80\xB0,HNO3,0.38,,1.24", ""},
    {"nitric acid 60-,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 60-kg drum,HNO3,0.38,,1.24", ""},
    /* Arabic, Thai, mathematical bold digits */
    {"nitric acid \xD9\xA6\xD9\xA0 %,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid \xE0\xB9\x96\xE0\xB9\x90 %,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid \xE0\xB9\x93\xE0\xB9\x98 %,HNO3,0.38,,1.24", ""},
    {"nitric acid \xF0\x9D\x9F\x94\xF0\x9D\x9F\x8E %,HNO3,0.38,,1.24",
     "says 60 %"},
    {"Salpetersäure sechzig Prozent,HNO3,0.60,,1.37", "in digits"},
    {"nitric acid 38 weight percent,HNO3,0.38,,1.24", ""},
    {"nitric acid 60 weight percent,HNO3,0.38,,1.24", "says 60 %"},
    {"calcium chloride 94 %,CaCl2,,,", "holds 100 % of CaCl2; expected"},
    {"calcium chloride 94 %,CaCl2,0.94,,", ""},
    {"calcium chloride 35 %,CaCl2,0.35,,1.34", ""},
    /* no strengths */
    {"60 L nitric acid,HNO3,0.38,,1.24", ""},
    {"50 kg drum nitric acid,HNO3,0.38,,1.24", ""},
    {"12 nitric acid,HNO3,0.38,,1.24", ""},
    {"drum60 nitric acid,HNO3,0.38,,1.24", ""},
    {"NaHSO4 pH minus,NaHSO4,0.98,,", ""},
    {"nitric acid drum 24,HNO3,0.38,,1.24", ""},
    {"nitric acid no. 24,HNO3,0.38,,1.24", ""},
    {"nitric acid shelf 15,HNO3,0.38,,1.24", ""},
    {"nitric acid room 60,HNO3,0.38,,1.24", ""},
    {"nitric acid Raum 60,HNO3,0.38,,1.24", ""},
    {"nitric acid étagère 60,HNO3,0.38,,1.24", ""},
    {"nitric acid greenhouse 60,HNO3,0.38,,1.24", ""},
    {"nitric acid x 60,HNO3,0.38,,1.24", ""},
    {"nitric acid $60,HNO3,0.38,,1.24", ""},
    {"citric acid opened 12/3,C6H8O7,0.5,,1.24", ""},
    {"citric acid 12/24,C6H8O7,0.5,,1.24", ""},
    {"citric acid 12.04.2026,C6H8O7,0.5,,1.24", ""},
    {"citric acid 1:10,C6H8O7,0.5,,1.24", ""},
    {"nitric acid 25,HNO3,0.38,,1.24", ""},
    {"nitric acid 53,HNO3,0.38,,1.24", "says 53 %"},
    {"nitric acid 12/24 60 %,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 60/65,HNO3,0.38,,1.24", "says 65 %"},
    {"nitric acid 25 L,HNO3,0.38,,1.24", ""},
    {"nitric acid 12/2026,HNO3,0.38,,1.24", ""},
    {"nitric acid (CAS 7697-37-2),HNO3,0.60,,1.37", ""},
    {"nitric acid UN 2031,HNO3,0.38,,1.24", ""},
    {"Phosphoric acid E338 75,H3PO4,0.75,,1.58", ""},
    {"phosphoric acid 54 % P2O5,H3PO4,0.75,,1.58", ""},
};

START_TEST_EACH(a_strength_in_a_name_is_that_of_the_bottle,
                sizeof names / sizeof *names)
{
    sw_error error = error_of(names[_i].row);
    ck_assert_msg(*names[_i].said
                      ? strstr(error.message, names[_i].said) != NULL
                      : !*error.message,
                  "%s: %s", names[_i].row, error.message);
}
END_TEST

START_TEST(a_strength_is_read_whatever_the_locale)
{
    if (!set_comma_locale())
        return;
    sw_error error = error_of("nitric acid density 1.24,HNO3,0.38,,1.24");
    setlocale(LC_ALL, "C");
    ck_assert_str_eq(error.message, "");
}
END_TEST
