/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names of salts in six languages beside what they stand for. */
#include "saltwright.h"
#include "stream.h"
#include "suite.h"

#include <string.h>

/* Beside the formula or label of another salt: what that lacks of the name. */
static const struct {
    const char *row, *lacks; /* "": taken */
} names[] = {
    {"Calciumnitrat,KNO3,,", "no calcium"},
    {"Kalziumnitrat,KNO3,,", "no calcium"},
    {"nitrate de calcium,KNO3,,", "no calcium"},
    {"nitrato di calcio,KNO3,,", "no calcium"},
    {"calciumnitraat,KNO3,,", "no calcium"},
    {"nitrato cálcico,KNO3,,", "no calcium"},
    {"nitrate calcique,KNO3,,", "no calcium"},
    {"Calcium-Nitrat technisch,KNO3,,", "no calcium"},
    {"nitrato di potassio,Ca(NO3)2·4H2O,,", "no potassium"},
    {"kaliumnitraat,Ca(NO3)2·4H2O,,", "no potassium"},
    {"nitrate potassique,Ca(NO3)2·4H2O,,", "no potassium"},
    {"solfato di potassio,Ca(NO3)2·4H2O,,", "no potassium"},
    {"sulfato potásico,Ca(NO3)2·4H2O,,", "no potassium"},
    {"monokaliumfosfaat,Ca(NO3)2·4H2O,,", "no potassium"},
    {"fosfato monopotassico,Ca(NO3)2·4H2O,,", "no potassium"},
    {"kaliumcarbonaat,Ca(NO3)2·4H2O,,", "no potassium"},
    {"magnesiumsulfaat,Ca(NO3)2·4H2O,,", "no magnesium"},
    {"solfato di magnesio,Ca(NO3)2·4H2O,,", "no magnesium"},
    {"sulfato magnésico,Ca(NO3)2·4H2O,,", "no magnesium"},
    {"sulfate de magnésie,Ca(NO3)2·4H2O,,", "no magnesium"},
    {"Eisenchelat,Ca(NO3)2·4H2O,,", "no iron"},
    {"chélate de fer,Ca(NO3)2·4H2O,,", "no iron"},
    {"quelato de hierro,Ca(NO3)2·4H2O,,", "no iron"},
    {"nitrato amónico,Ca(NO3)2·4H2O,,", "no ammonium"},
    {"phosphate d'ammonium,Ca(NO3)2·4H2O,,", "no ammonium"},
    {"kopersulfaat,Ca(NO3)2·4H2O,,", "no copper"},
    {"calciumsulfaat,Ca(NO3)2·4H2O,,", "no sulfate"},
    {"ureum,Ca(NO3)2·4H2O,,", "another product"},
    {"Natronsalpeter,KNO3,,", "no sodium"},
    {"bitterzout,Ca(NO3)2·4H2O,,", "another product"},
    {"zwavelzure kali,Ca(NO3)2·4H2O,,", "another product"},
    {"sale inglese,Ca(NO3)2·4H2O,,", "another product"},
    {"gesso,Ca(NO3)2·4H2O,,", "another product"},
    {"CN,KNO3,,", "another product"},
    {"nitrato di potassio,,,NO3-N 15.5; Ca 26", "no potassium"},
    {"solfato di potassio,,,NO3-N 13; K2O 46", "no sulfate"},
    /* of one bag */
    {"Calciumnitrat,Ca(NO3)2·4H2O,,", ""},
    {"bitterzout,MgSO4·7H2O,,", ""},
    {"zwavelzure kali,K2SO4,,", ""},
    {"CN,,,NO3-N 14.4; NH4-N 1.1; Ca 19", ""},
    {"nitrato cálcico,Ca(NO3)2,,", ""},
    {"calciumnitraat,,,NO3-N 14.4; NH4-N 1.1; Ca 19", ""},
    {"kaliumnitraat,KNO3,,", ""},
    {"nitrato potásico,KNO3,,", ""},
    {"solfato di potassio,,,K2O 50", ""},
    {"solfato di potassio,,,K2O 50; SO3 45; MgO 1", ""},
    {"monokaliumfosfaat,KH2PO4,,", ""},
    {"ureum,CO(NH2)2,,", ""},
    {"Eisenchelat,,,Fe-DTPA 11", ""},
    {"kopersulfaat,CuSO4·5H2O,,", ""},
    {"molibdato sodico,Na2MoO4·2H2O,,", ""},
    {"Kalkammonsalpeter,,,NO3-N 13.5; NH4-N 13.5; Ca 8", ""},
    {"fosfato de urea verde,CO(NH2)2·H3PO4,,", ""},
    {"Natriumborat,Na2B4O7·10H2O,,", ""},
    {"kaliumcarbonaat,K2CO3,,", ""},
    {"idrossido di potassio,KOH,,", ""},
    /* not what is in the bag, but what is not */
    {"\"potassium nitrate, low chloride\",KNO3,,", ""},
    {"low chloride potassium nitrate,KNO3,,", ""},
    {"chloride free Kalisalz,KNO3,,", ""},
    {"Kaliumnitrat chloridfrei,KNO3,,", ""},
    {"salpeter,KNO3,,", ""}, /* an ion alone */
    {"limestone nitrate,KNO3,,", ""},
};

START_TEST_EACH(a_name_made_of_ions_is_of_what_holds_them,
                sizeof names / sizeof *names)
{
    char text[200];
    sw_shelf *shelf = NULL;
    sw_error error = {.message = ""};
    (void)snprintf(text, sizeof text, "product,formula,purity,label\n%s\n",
                   names[_i].row);
    FILE *stream = stream_of(text);
    if (sw_shelf_read(stream, "s.csv", &shelf, &error) == SW_OK)
        error.message[0] = '\0';
    fclose(stream);
    ck_assert_msg(*names[_i].lacks
                      ? strstr(error.message, names[_i].lacks) != NULL
                      : !*error.message,
                  "%s: %s", names[_i].row, error.message);
    ck_assert(!*error.message || (error.line == 2 && error.column == 1));
    sw_shelf_free(shelf);
}
END_TEST
