#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The check of the reference tables must find each breach it is there for."""
import os
import sys
import tempfile
import unittest

sys.dont_write_bytecode = True  # the source tree stays as it is
import tables

README = "# Tables\n\n## units.csv\n\n`name` and `other_names`\n"
SOUND = "name,other_names,source\ng,gram,SI\nkg,kilo,SI\n"


def found(table=SOUND, readme=README, name="units.csv"):
    with tempfile.TemporaryDirectory() as folder:
        with open(os.path.join(folder, "README.md"), "w") as file:
            file.write(readme)
        with open(os.path.join(folder, name), "wb") as file:
            file.write(table if isinstance(table, bytes) else table.encode())
        return "\n".join(tables.breaches(folder))


class Tables(unittest.TestCase):
    def test_a_sound_table_passes(self):
        self.assertEqual(found(), "")

    def test_a_row_without_source_is_found(self):
        self.assertIn("units.csv:2: no source",
                      found(SOUND.replace("gram,SI", "gram,")))

    def test_a_source_that_is_not_last_is_found(self):
        self.assertIn("not 'source'",
                      found("name,source,other_names\ng,SI,gram\n"))

    def test_a_row_of_other_width_is_found(self):
        self.assertIn("4 cells", found(SOUND.replace("gram,", "gram,x,")))

    def test_an_empty_table_is_found(self):
        self.assertIn("no rows", found("name,other_names,source\n"))

    def test_blanks_around_a_cell_are_found(self):
        self.assertIn("blanks", found(SOUND.replace("gram", " gram")))

    def test_a_byte_order_mark_is_found(self):
        self.assertIn("plain UTF-8", found(b"\xef\xbb\xbf" + SOUND.encode()))

    def test_a_column_without_description_is_found(self):
        self.assertIn("other_names is not described",
                      found(readme=README.replace("`other_names`", "")))

    def test_a_table_without_section_is_found(self):
        self.assertIn("no section", found(readme="# Tables\n"))

    def test_a_section_without_table_is_found(self):
        self.assertIn("no gone.csv", found(readme=README + "\n## gone.csv\n"))

    def test_a_component_that_is_none_is_found(self):
        readme = ("# Tables\n\n## components.csv\n\n`name`\n\n"
                  "## parameters.csv\n\n`name` `kind` `component`\n")
        parameters = "name,kind,component,source\nK2O,COMPONENT,{},law\n"
        for name, complaint in (("K", ""), ("Q", "'Q' is not in components")):
            with tempfile.TemporaryDirectory() as folder:
                for file, text in (("README.md", readme),
                                   ("components.csv", "name,source\nK,law\n"),
                                   ("parameters.csv", parameters.format(name))):
                    with open(os.path.join(folder, file), "w") as out:
                        out.write(text)
                self.assertEqual(complaint in "".join(tables.breaches(folder)),
                                 True)
                self.assertEqual(bool(list(tables.breaches(folder))),
                                 bool(complaint))

    def test_a_name_given_twice_is_found(self):
        self.assertIn("stands twice", found(SOUND.replace("kg,", "g,")))

    def test_names_that_read_alike_are_found(self):
        readme = README.replace("units", "parameters")
        self.assertIn("is kg and g", found(SOUND.replace("kilo", "GRAM"),
                                           readme, "parameters.csv"))


if __name__ == "__main__":
    unittest.main()
