/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Acid, base or water by name: bottles are opened by what is written on them.
 * Words of the trade (common practice, no source), all folded to ASCII in lower
 * case; a name that says both sides, or neither, contradicts nothing.
 */
#include "records/name_side.h"

#include "quantity/keys.h"
#include "quantity/text.h"

#include <ctype.h>
#include <stddef.h>
#include <string.h>

#define COUNT(list) (sizeof(list) / sizeof *(list))

enum { NAME_SIZE = 200 };

static const char forms[] =
    "solution|liquid|technical|tech|pure|grade|concentrate|concentrated|conc|"
    "soluble|powder|crystals|flakes|prills|new|old|food|drum|bottle|bag|lot|"
    "Lösung|flüssig|technisch|rein|Konzentrat|konzentriert|Fass|Kanister|"
    "Flasche|"
    "liquide|technique|pur|concentré|bidon|"
    "solución|disolución|líquido|líquida|técnico|técnica|puro|concentrado|"
    "garrafa|"
    "oplossing|vloeibaar|zuiver|geconcentreerd|vat|fles";

bool sw_name_is_form(const char *at)
{
    char word[40], key[SW_KEY_SIZE];
    size_t length = strcspn(at, " ,;()[]");
    if (length >= sizeof word)
        return false;
    memcpy(word, at, length);
    word[length] = '\0';
    sw_text_key(word, key);
    return *key && sw_text_listed(forms, key);
}

/* Draws a sign to the pH before it, as bottles print it: "pH +", "pH - (5 L)".
 * Before a word that dash parts: "pH - neutral". */
static void join_sign(char *text)
{
    for (char *at = text; *at; at++) {
        char *sign = at + 2;
        if (!sw_text_word_at(text, at, "ph"))
            continue;
        sign += strspn(sign, " ");
        if (*sign != '+' &&
            (*sign != '-' ||
             isalpha((unsigned char)sign[1 + strspn(sign + 1, " ")])))
            continue;
        at[2] = *sign;
        memset(at + 3, ' ', (size_t)(sign + 1 - (at + 3)));
    }
}

/* A dash between letters parts words: "pH-Senker", but "pH-". */
static void fold(const char *name, char text[NAME_SIZE])
{
    size_t used = 0;
    char c;
    while (used + 1 < NAME_SIZE && (c = sw_text_next(&name)))
        text[used++] = c == '_' || (c == '-' && isalpha((unsigned char)*name))
                           ? ' '
                           : (char)tolower((unsigned char)c);
    text[used] = '\0';
    join_sign(text);
}

/* Cuts what says nothing of the kind off the end: a strength, a number, a
 * bracket, the form. */
static void cut_tail(char *text)
{
    for (;;) {
        size_t end = strlen(text);
        char *open = end && text[end - 1] == ')' ? strrchr(text, '(') : NULL;
        while (end && !isalpha((unsigned char)text[end - 1]))
            end--;
        if (open && open > text)
            end = (size_t)(open - text);
        text[end] = '\0';
        char *last = strrchr(text, ' ');
        if (!open && (!last || !sw_name_is_form(last + 1)))
            return;
        if (!open)
            *last = '\0';
    }
}

static bool has_word(const char *text, const char *const *words, size_t count)
{
    for (const char *at = text; *at; at++)
        for (size_t i = 0; i < count; i++)
            if (sw_text_word_at(text, at, words[i]))
                return true;
    return false;
}

static bool has_part(const char *text, const char *const *parts, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (strstr(text, parts[i]))
            return true;
    return false;
}

static bool ends_in(const char *text, const char *end)
{
    size_t length = strlen(text), least = strlen(end);
    return length >= least && !strcmp(text + length - least, end);
}

/* Ahead of a word it is not meant: "for acid water", "anti-acid". */
static bool is_of_other(const char *text, size_t length)
{
    static const char *const leads[] = {
        "anti", "no",     "non",    "not",  "for",  "against", "gegen", "fur",
        "ohne", "contre", "contra", "para", "pour", "tegen",   "voor",  "sans"};
    for (size_t i = 0; i < COUNT(leads); i++) {
        size_t lead = strlen(leads[i]) + 1;
        if (length >= lead &&
            sw_text_word_at(text, text + length - lead, leads[i]))
            return true;
    }
    return false;
}

/* Whether it is the name's noun: its first word, or its last. */
static bool is_named(const char *text, const char *const *first,
                     const char *const *last)
{
    for (; *first; first++)
        if (sw_text_word_at(text, text, *first))
            return true;
    for (; *last; last++)
        if (ends_in(text, *last) &&
            !is_of_other(text, strlen(text) - strlen(*last)))
            return true;
    return false;
}

static bool names_acid(const char *all, const char *text)
{
    static const char *const down[] = {
        "ph down",        "ph minus",    "ph-",      "ph reducer",
        "ph lower",       "ph senker",   "ph moins", "ph menos",
        "ph min",         "ph decrease", "lower ph", "bajar ph",
        "reductor de ph", "phdown",      "phminus",  "ph reduce",
        "ph senken"};
    static const char *const first[] = {"acide",        "acido",    "nitric",
                                        "phosphoric",   "sulfuric", "sulphuric",
                                        "hydrochloric", "hno3",     "h3po4",
                                        "h2so4",        NULL};
    static const char *const last[] = {"acid",  "saure", "zuur",
                                       "acide", "acido", NULL};
    /* Acids by name that are sold as salts of potassium, or are none. */
    static const char *const weak[] = {"humi",   "fulv",   "amin", "silic",
                                       "kiesel", "kiezel", "algin"};
    return has_word(all, down, COUNT(down)) ||
           (!has_part(all, weak, COUNT(weak)) && is_named(text, first, last));
}

static bool names_base(const char *all, const char *text)
{
    static const char *const up[] = {
        "ph up",          "ph plus", "ph+",     "ph raiser", "ph increase",
        "ph heber",       "ph mas",  "ph rise", "raise ph",  "subir ph",
        "elevador de ph", "phup",    "phplus",  "ph raise",  "ph erhohen",
        "ph erhoher"};
    static const char *const first[] = {
        "hydroxyde", "hidroxido", "carbonato", "bicarbonato",  "silicato",
        "soude",     "sosa",      "potasse",   "lejia",        "lessive",
        "bleach",    "alkaline",  "javel",     "eau de javel", NULL};
    static const char *const last[] = {
        "lye",          "lauge",       "loog",
        "caustic",      "alkali",      "alkaline",
        "hydroxide",    "hydroxid",    "carbonate",
        "carbonat",     "karbonat",    "carbonaat",
        "carb",         "silicate",    "silikat",
        "silicaat",     "caustique",   "caustica",
        "basisch",      "bleach",      "bleiche",
        "bleichmittel", "bleekmiddel", "hypochlorite",
        "hypochlorit",  NULL};
    static const char *const whole[] = {"base", "basis", "lime", "potash",
                                        "soda"};
    for (size_t i = 0; i < COUNT(whole); i++)
        if (!strcmp(text, whole[i]))
            return true;
    return has_word(all, up, COUNT(up)) || is_named(text, first, last);
}

static bool names_peroxide(const char *text)
{
    static const char *const words[] = {"peroxide", "wasserstoffperoxid",
                                        "peroxido", "peroxyde",
                                        "h2o2",     "waterstofperoxide"};
    return has_word(text, words, COUNT(words));
}

static bool names_vinegar(const char *text)
{
    static const char *const words[] = {
        "vinegar", "essig",      "vinaigre", "vinagre", "azijn",
        "acetic",  "essigsaure", "acetique", "acetico", "azijnzuur"};
    return has_word(text, words, COUNT(words));
}

static bool names_water(const char *text)
{
    static const char *const whole[] = {
        "water",       "wasser",         "eau",
        "agua",        "rinse water",    "tap water",
        "pure water",  "clean water",    "rain water",
        "well water",  "ro water",       "distilled water",
        "plain water", "spulwasser",     "leitungswasser",
        "regenwasser", "eau pure",       "eau de pluie",
        "agua pura",   "agua de lluvia", "kraanwater",
        "regenwater",  "spoelwater",     "eau du robinet"};
    for (size_t i = 0; i < COUNT(whole); i++)
        if (!strcmp(text, whole[i]))
            return true;
    return false;
}

sw_name_side sw_name_side_of(const char *name)
{
    /* Where one of these stands too, the other word is of what it is against.
     */
    static const char *const acids[] = {"acid", "saure", "sauer", "zuur"};
    static const char *const bases[] = {"lauge", "alkali", "carbonat", "base",
                                        "loog"};
    char all[NAME_SIZE], text[NAME_SIZE];
    fold(name, all);
    fold(name, text);
    cut_tail(text);
    if (names_peroxide(all) || names_vinegar(all))
        return names_vinegar(all) ? SW_NAMES_VINEGAR : SW_NAMES_PEROXIDE;
    bool acid = names_acid(all, text), base = names_base(all, text);
    if (acid && !base && !has_part(all, bases, COUNT(bases)))
        return SW_NAMES_ACID;
    if (base && !acid && !has_part(all, acids, COUNT(acids)))
        return SW_NAMES_BASE;
    return names_water(text) ? SW_NAMES_WATER : SW_NAMES_NONE;
}
