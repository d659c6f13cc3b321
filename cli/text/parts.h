/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of the text report, from top to bottom. */
#ifndef CLI_TEXT_PARTS_H
#define CLI_TEXT_PARTS_H

#include "cautions.h"
#include "render.h"
#include "report.h"
#include "text/page.h"
#include "text/table.h"

/* "STOP. Danger: ...", the first and loudest line of a page. */
void part_stop(const cli_page *page, const char *words);

/* What to wear, above the amounts; and the section of cautions. */
void part_gear(const cli_page *page, const cli_handled *handled);
void part_cautions(const cli_page *page, const cli_handled *handled);

/* Which of several waters to use, and why. */
void part_choice(const cli_page *page, const cli_comparison *comparison);
/* What came of each stage of a crop. */
void part_stages(const cli_page *page, const cli_comparison *comparison);
/* The warnings of each stage. */
void part_stage_notes(const cli_page *page, const cli_comparison *comparison);
/* Several runs side by side. */
void part_comparison(const cli_page *page, const cli_comparison *comparison);
extern const cli_batch_renderer text_batch;

/* "70 % well (waters.csv)" beside `term`. */
void part_water_name(const cli_page *page, const char *term, const char *share,
                     const sw_water *water);

#endif
