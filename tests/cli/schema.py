# SPDX-License-Identifier: GPL-3.0-or-later
"""The JSON Schema of reports, made of cli/report/fields.csv.

    schema.py --write

writes what that table says into reference/saltwright.schema.json: for a block
NAME, the definition NAME of its value and NAME_record of one of its records.
"""
import csv
import json
import os
import sys

HERE = os.path.dirname(os.path.abspath(__file__))
FIELDS = os.path.join(HERE, "../../cli/report/fields.csv")
SCHEMA = os.path.join(HERE, "../../reference/saltwright.schema.json")


def rows():
    with open(FIELDS, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def is_data(row):
    return not row["where"] or "data" in row["where"].split()


def held(row, blocks):
    """Whether a field is among the data: of what holds a block what it says
    itself, else what the block does."""
    kind, _, name = row["type"].partition(":")
    holds = kind in ("block", "part", "runs") and not row["where"]
    return is_data(blocks[name or row["key"]] if holds else row)


def bounded(row):
    out = {"type": "number"}
    low, dots, high = row["values"].partition("..")
    if dots and low:
        out["minimum"] = float(low)
    if dots and high:
        out["maximum"] = float(high)
    return out


def one_of(words):
    return {"enum": words} if len(words) > 1 else {"const": words[0]}


def of_field(row, blocks):
    kind, _, name = row["type"].partition(":")
    name = name or row["key"]
    if kind == "block":
        out = {"$ref": f"#/$defs/{name}"}
    elif kind == "runs":
        out = {"type": "array", "items": {"$ref": "#/$defs/run"}}
    elif kind == "part":
        plain = blocks[name]["type"] in ("record", "alarm")
        out = {"$ref": f"#/$defs/{name}" + ("" if plain else "_record")}
    elif kind == "number":
        out = bounded(row)
    elif kind == "flag":
        out = {"type": "boolean"}
    elif row["values"]:
        out = one_of(row["values"].split("|"))
    else:
        out = {"type": "string", "minLength": 1}
    if row["about"]:
        out["description"] = row["about"]
    return out


def record_of(block, fields, blocks):
    out = {"type": "object", "properties": {}, "required": [],
           "additionalProperties": False}
    if block["about"]:
        out["description"] = block["about"]
    for row in fields:
        if held(row, blocks):
            out["properties"][row["key"]] = of_field(row, blocks)
            if row["must"] == "yes":
                out["required"].append(row["key"])
    return out


def definitions():
    """Every definition that fields.csv makes."""
    blocks, fields, out = {}, {}, {}
    for row in rows():
        if row["key"]:
            fields[row["block"]].append(row)
        else:
            assert row["block"] not in blocks, row["block"]
            blocks[row["block"]] = row
            fields[row["block"]] = []
    asked = {row["type"].partition(":")[2] or row["key"]
             for rows_of in fields.values() for row in rows_of
             if row["where"] and is_data(row)}
    for name, block in blocks.items():
        if not is_data(block) and name not in asked:
            continue
        form = block["type"]
        if form in ("texts", "list"):
            out[name] = {"type": "array",
                         "items": {"type": "string", "minLength": 1}}
        elif form == "map":
            assert block["where"] == "data", name # nothing else shows one
            value = fields[name][1]
            out[name] = {"type": "object",
                         "additionalProperties": bounded(value)}
        elif form in ("record", "alarm"):
            out[name] = record_of(block, fields[name], blocks)
        else:
            out[name] = {"type": "array",
                         "items": {"$ref": f"#/$defs/{name}_record"}}
            out[name + "_record"] = record_of(block, fields[name], blocks)
        if block["about"]:
            out[name]["description"] = block["about"]
    return out


def main():
    if sys.argv[1:] != ["--write"]:
        sys.exit(__doc__)
    with open(SCHEMA, encoding="utf-8") as file:
        schema = json.load(file)
    schema["$defs"].update(definitions())
    with open(SCHEMA, "w", encoding="utf-8") as file:
        json.dump(schema, file, indent=2, ensure_ascii=False)
        file.write("\n")


if __name__ == "__main__":
    main()
