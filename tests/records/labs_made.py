# SPDX-License-Identifier: GPL-3.0-or-later
"""Laboratory reports as they arrive, made here: a function
for each family gives a file and the list of what was written into it, by weights
and factors of this file's own.  Values are invented."""

# IUPAC 2021, abridged.
N, O, C, H, S, P = 14.007, 15.999, 12.011, 1.008, 32.06, 30.974
CA, MG, NA, K, CL = 40.078, 24.305, 22.990, 39.098, 35.45
FE, MN, ZN, CU, B, MO, SI = 55.845, 54.938, 65.38, 63.546, 10.81, 95.95, 28.085
CACO3 = CA + C + 3 * O
MASS = {"Ca": CA, "Mg": MG, "Na": NA, "K": K, "Cl": CL, "S": S, "P": P,
        "NO3-N": N, "NH4-N": N, "Fe": FE, "Mn": MN, "Zn": ZN, "Cu": CU,
        "B": B, "Mo": MO, "Si": SI}
CHARGE = {"Ca": 2, "Mg": 2, "Na": 1, "K": 1, "Cl": 1, "S": 2, "NO3-N": 1,
          "NH4-N": 1}
HCO3, CO3 = H + C + 3 * O, C + 3 * O
NO3, NH4, SO4, PO4 = N + 3 * O, N + 4 * H, S + 4 * O, P + 4 * O
SIO2 = SI + 2 * O
# Usual limits, as reference/detection_limits.csv has them: what the sheet does
# not say, the report must.
USUAL = {"Fe": 0.05, "Mn": 0.01, "Zn": 0.02, "Cu": 0.01, "B": 0.05, "Mo": 0.01,
         "P": 0.05, "NH4-N": 0.05, "NO3-N": 0.1, "Cl": 1, "K": 0.5}
# Of the sw_reading_kind of saltwright_records.h.
KINDS = {"1": "alk", "2": "hardness", "3": "Ca hardness", "4": "pH", "5": "EC",
         "6": "TDS", "7": "temperature"}


def water(rng):
    """A believable one, in the units of the readings: mg/L, meq/L, mS/cm."""
    w = {"Ca": rng.uniform(20, 120), "Mg": rng.uniform(4, 40),
         "Na": rng.uniform(5, 90), "K": rng.uniform(0.6, 9),
         "Cl": rng.uniform(6, 110), "S": rng.uniform(3, 40),
         "NO3-N": rng.uniform(0.5, 11), "NH4-N": rng.uniform(0.06, 0.9),
         "P": rng.uniform(0.06, 0.4), "HCO3": rng.uniform(1, 5),
         "pH": rng.uniform(6.4, 8.1), "EC": rng.uniform(0.2, 1.4),
         "Fe": rng.uniform(0.06, 0.9), "Mn": rng.uniform(0.02, 0.3),
         "Zn": rng.uniform(0.03, 0.4), "Cu": rng.uniform(0.02, 0.1),
         "B": rng.uniform(0.06, 0.4), "Mo": rng.uniform(0.011, 0.05),
         "Si": rng.uniform(2, 12), "TDS": rng.uniform(150, 700),
         "temperature": rng.uniform(9, 24)}
    w["alk"] = w["HCO3"]
    w["hardness"] = w["Ca"] / CA * 2 + w["Mg"] / MG * 2
    return w


class Cell:
    """A value as written, and what it is: amount, below, by a usual limit."""

    def __init__(self, text, key, amount, below=False, usual=False):
        self.text, self.key, self.amount = text, key, amount
        self.below, self.usual = below, usual


def number(w, key, factor, decimals):
    text = f"{w[key] / factor:.{decimals}f}"
    return Cell(text, key, float(text) * factor)


def unseen(rng, key, factor, decimals, words):
    """Not detected: below a limit that is written, or in words."""
    limit = f"{USUAL[key] / factor * 1.5:.{max(decimals, 3)}f}"
    form = rng.choice(["<", "< ", "word", "word"] if words else ["<"])
    if form == "word":
        return Cell(rng.choice(words), key, USUAL[key], True, True)
    return Cell(form + limit, key, float(limit) * factor, True)


class File:
    """Rows of cells, texts or Cells, and how they are written down."""

    def __init__(self, family, rows, samples, **how):
        self.family, self.rows, self.samples = family, rows, samples
        self.separator = how.get("separator", ",")
        self.comma = how.get("comma", False)
        self.encoding = how.get("encoding", "utf-8")
        self.end = how.get("end", "\n")
        self.units = how.get("units", "")
        self.defects = how.get("defects", set())
        self.header = how.get("header", 0)
        self.movable = how.get("movable", False)

    def text_of(self, cell):
        if isinstance(cell, Cell):
            text = cell.text
            return text.replace(".", ",") if self.comma and any(
                c.isdigit() for c in text) else text
        return cell

    def encoded(self):
        lines = []
        for row in self.rows:
            cells = [self.text_of(c) for c in row]
            lines.append(self.separator.join(
                '"' + c.replace('"', '""') + '"'
                if self.separator in c or '"' in c or "\n" in c else c
                for c in cells))
        text = self.end.join(lines) + self.end
        return text.encode(self.encoding)


    def place(self, row, cell):
        """Where a cell stands, from its numbers; it needs no quotes."""
        before = self.rows[row - 1][:cell - 1]
        return row, 1 + sum(len(self.text_of(c)) + 1 for c in before)


def wanted(cells):
    return sorted((c.key, c.amount, c.below, c.usual) for c in cells)


def style(rng, i, commas=True):
    """Separators, marks and encodings, each met within ten files."""
    separator = [",", ";", "\t", "|", ";"][i % 5]
    return {"separator": separator,
            "comma": commas and separator != "," and i % 2 == 1,
            "encoding": ["utf-8", "cp1252", "utf-8-sig", "utf-16",
                         "utf-16-le", "cp1252", "utf-8"][i % 7],
            "end": "\r\n" if rng.random() < 0.5 else "\n"}


# ---- Laboratories' lists, one reading a row ------------------------------

def factor_of(key, unit):
    """From the unit written to what is read."""
    mg = {"mg/L": 1, "ppm": 1, "ug/L": 1e-3, "µg/l": 1e-3, "mg/l": 1}
    if unit in mg:
        return mg[unit]
    if key in ("HCO3", "alk", "hardness"):
        return {"meq/L": 1, "meq/l": 1, "mmol/L": 1, "mmol/l": 1,
                "mg/L CaCO3": 2 / CACO3, "grains/gal": 0.342,
                "°fH": 0.2}[unit]
    return {"mmol": MASS[key], "umol": MASS[key] * 1e-3, "µmol": MASS[key]
            * 1e-3, "meq": MASS[key] / CHARGE.get(key, 1)}[unit.split("/")[0]]


US = [("pH", "pH", "", 1, 1),
      ("Electrical Conductivity (EC)", "EC", "mmhos/cm", 1, 2),
      ("Total Alkalinity (as CaCO3)", "alk", "ppm", 2 / CACO3, 1),
      ("Calcium (Ca)", "Ca", "ppm", 1, 1),
      ("Magnesium (Mg)", "Mg", "ppm", 1, 2),
      ("Sodium (Na)", "Na", "ppm", 1, 1), ("Potassium (K)", "K", "ppm", 1, 2),
      ("Nitrate-N (NO3-N)", "NO3-N", "ppm", 1, 2),
      ("Ammonium-N (NH4-N)", "NH4-N", "ppm", 1, 2),
      ("Phosphorus (P)", "P", "ppm", 1, 2), ("Chloride (Cl)", "Cl", "ppm", 1, 1),
      ("Sulfate (SO4)", "S", "ppm", S / SO4, 1), ("Iron (Fe)", "Fe", "ppm", 1, 2),
      ("Manganese (Mn)", "Mn", "ppm", 1, 3), ("Zinc (Zn)", "Zn", "ppm", 1, 3),
      ("Copper (Cu)", "Cu", "ppm", 1, 3), ("Boron (B)", "B", "ppm", 1, 2)]
DISSOLVED = [("Field pH", "pH", "std units", 1, 2),
             ("Specific conductance", "EC", "uS/cm @25C", 1e-3, 0),
             ("Alkalinity, total", "alk", "mg/L CaCO3", 2 / CACO3, 0),
             ("Calcium, dissolved", "Ca", "mg/L", 1, 1),
             ("Magnesium, dissolved", "Mg", "mg/L", 1, 1),
             ("Sodium, dissolved", "Na", "mg/L", 1, 1),
             ("Potassium, dissolved", "K", "mg/L", 1, 2),
             ("Nitrate", "NO3-N", "mg/L as N", 1, 2),
             ("Chloride", "Cl", "mg/L", 1, 0),
             ("Sulfate", "S", "mg/L", S / SO4, 0),
             ("Iron, dissolved", "Fe", "ug/L", 1e-3, 0),
             ("Manganese, dissolved", "Mn", "ug/L", 1e-3, 0),
             ("Boron, dissolved", "B", "ug/L", 1e-3, 0),
             ("Silica", "Si", "mg/L as SiO2", SI / SIO2, 1)]
SPANISH = [("pH", "pH", "", 1, 2), ("Conductividad eléctrica", "EC", "dS/m", 1, 3),
           ("Calcio", "Ca", "mg/l", 1, 1), ("Magnesio", "Mg", "mg/l", 1, 1),
           ("Sodio", "Na", "mg/l", 1, 1), ("Potasio", "K", "mg/l", 1, 2),
           ("Cloruros", "Cl", "mg/l", 1, 1), ("Sulfatos", "S", "mg/l", S / SO4, 1),
           ("Bicarbonatos", "HCO3", "mg/l", 1 / HCO3, 1),
           ("NO3", "NO3-N", "mg/l", N / NO3, 1), ("Hierro", "Fe", "µg/l", 1e-3, 0),
           ("Manganeso", "Mn", "µg/l", 1e-3, 0), ("Boro", "B", "mg/l", 1, 2)]
GERMAN = [("pH-Wert (bei 12,4 °C)", "pH", "", 1, 2),
          ("elektrische Leitfähigkeit (25 °C)", "EC", "µS/cm", 1e-3, 0),
          ("Säurekapazität KS4.3", "alk", "mmol/l", 1, 2),
          ("Calcium", "Ca", "mg/l", 1, 1), ("Magnesium", "Mg", "mg/l", 1, 1),
          ("Natrium", "Na", "mg/l", 1, 1), ("Kalium", "K", "mg/l", 1, 1),
          ("Chlorid", "Cl", "mg/l", 1, 1), ("Sulfat", "S", "mg/l", S / SO4, 1),
          ("Nitrat als NO3", "NO3-N", "mg/l", N / NO3, 1),
          ("Ammonium-N", "NH4-N", "mg/l", 1, 2), ("Eisen", "Fe", "mg/l", 1, 3),
          ("Mangan", "Mn", "mg/l", 1, 3), ("Bor", "B", "mg/l", 1, 3),
          ("Zink", "Zn", "mg/l", 1, 3), ("Kupfer", "Cu", "mg/l", 1, 3)]
FRENCH = [("pH", "pH", "unité pH", 1, 2),
          ("Conductivité à 25 °C", "EC", "µS/cm", 1e-3, 0),
          ("Titre alcalimétrique complet", "alk", "°fH", 0.199827, 1),
          ("Calcium", "Ca", "mg/L", 1, 1), ("Magnésium", "Mg", "mg/L", 1, 1),
          ("Sodium", "Na", "mg/L", 1, 1), ("Potassium", "K", "mg/L", 1, 1),
          ("Chlorures", "Cl", "mg/L", 1, 1),
          ("Sulfates", "S", "mg/L", S / SO4, 1),
          ("Nitrates", "NO3-N", "mg NO3/L", N / NO3, 1),
          ("Fer", "Fe", "µg/L", 1e-3, 0), ("Manganèse", "Mn", "µg/L", 1e-3, 0),
          ("Zinc", "Zn", "µg/L", 1e-3, 0), ("Cuivre", "Cu", "µg/L", 1e-3, 0)]

WORDS = {"English": ["ND", "n.d.", "BDL", "trace", "<LOD", "Not Detected",
                     "< LOQ", "BRL"],
         "Spanish": ["n.d.", "<LD", "no detectado", "trazas"],
         "German": ["n.n.", "<BG", "nicht nachweisbar", "< NG", "Spuren"],
         "French": ["n.d.", "<LQ", "non détecté", "traces"]}
HEADS = {
    "English": [("Parameter", "Result", "Units"), ("Analyte", "Value", "Unit"),
                ("Test", "Your Result", "Unit of Measure"),
                ("Determinand", "Concentration", "UOM")],
    "Spanish": [("Parámetro", "Resultado", "Unidades"),
                ("Determinación", "Valor", "Unidad")],
    "German": [("Parameter", "Ergebnis", "Einheit"),
               ("Messgröße", "Messwert", "Maßeinheit"),
               ("Bestimmung", "Wert", "Einheit")],
    "French": [("Paramètre", "Résultat", "Unité"),
               ("Analyse", "Valeur", "Unités")]}
EXTRA = {"English": [("Method", "ICP-OES"), ("Lab No.", "4711"),
                     ("Comment", "see note 2"), ("Reporting Limit", "0.003"),
                     ("Date analyzed", "2024-05-02")],
         "Spanish": [("Método", "ICP"), ("Incertidumbre", "8 %"),
                     ("Observaciones", "")],
         "German": [("Verfahren", "DIN EN ISO 11885"), ("Grenzwert", "250"),
                    ("Bemerkung", "filtriert")],
         "French": [("Méthode", "NF EN ISO 11885"),
                    ("Limite de qualité", "250"), ("Remarques", "")]}
TITLES = {"English": [["Laboratory of Invented Waters"], ["Report no", "17-4"],
                      ["Water analysis, irrigation"]],
          "Spanish": [["Laboratorio inventado"], ["Análisis de agua de riego"]],
          "German": [["Erfundenes Labor"], ["Prüfbericht", "2024-17"],
                     ["Gießwasser"]],
          "French": [["Laboratoire inventé"], ["Analyse d'eau d'irrigation"]]}
SECTIONS = {"English": ["Cations", "Trace elements"],
            "Spanish": ["Aniones", "Oligoelementos"],
            "German": ["Anionen", "Spurenelemente"],
            "French": ["Cations", "Oligoéléments"]}


def cells_of(rng, specs, language, unseen_share=0.35):
    """A sample's cells, in the order of the list."""
    w = water(rng)
    made = []
    for _, key, _, factor, decimals in specs:
        gone = key in USUAL and rng.random() < unseen_share
        made.append(unseen(rng, key, factor, decimals, WORDS[language])
                    if gone else number(w, key, factor, decimals))
    return made


def spelled(rng, name, unit, i):
    """The unit in its own column, in brackets, or after the name."""
    if not unit or i % 3 == 0:
        return name, unit
    return (f"{name} [{unit}]" if i % 3 == 1 else f"{name}, {unit}"), ""


def listed(family, language, specs):
    def make(rng, i):
        names, values, units = HEADS[language][i % len(HEADS[language])]
        cells = cells_of(rng, specs, language)
        unit_column = i % 3 == 0
        head = [names, values] + ([units] if unit_column else [])
        extra = rng.sample(EXTRA[language], rng.randrange(1, 3))
        head += [h for h, _ in extra]
        rows = [head]
        for (name, key, unit, _, _), cell in zip(specs, cells):
            first, second = spelled(rng, name, unit, i)
            rows.append([first, cell] + ([second] if unit_column else [])
                        + [c for _, c in extra])
            limit = [k for k, (h, _) in enumerate(extra)
                     if h == "Reporting Limit"]
            if limit:  # in the row's unit; a limit written with the value wins
                text = "0.003"
                at = len(head) - len(extra) + limit[0]
                rows[-1][at] = Cell(text, "", 0)
                if cell.below:
                    factor = dict((s[1], s[3]) for s in specs)[key]
                    known = cell.amount if not cell.usual else 0
                    cell.amount = max(known, float(text) * factor)
                    cell.usual = False
        first = len(TITLES[language]) if i % 2 else 0
        for place, section in zip((4, 9), SECTIONS[language]):
            if i % 4 == 2:
                rows.insert(place, [section])
        rows = (TITLES[language] if first else []) + rows
        return File(family, rows, [wanted(cells)], header=first, movable=True,
                    **style(rng, i))
    return make


def two_units(family, language, specs):
    """mg/l and meq/l side by side: one read, the other checked."""
    charged = [s for s in specs if s[1] in CHARGE or s[1] == "HCO3"]

    def make(rng, i):
        names = HEADS[language][i % 2][0]
        cells = cells_of(rng, charged, language, 0)
        swapped = i % 2 == 1
        bad = i % 5 == 4
        rows = [[names] + (["meq/l", "mg/l"] if swapped else ["mg/l", "meq/l"])]
        defects = set()
        for k, (spec, cell) in enumerate(zip(charged, cells)):
            per = factor_of(spec[1], "meq/L") if spec[1] != "HCO3" else 1
            wrong = 1.5 if bad and k == 2 else 1
            meq = Cell(f"{cell.amount / per * wrong:.3f}", "", 0)
            read, other = (meq, cell) if swapped else (cell, meq)
            if swapped:
                cell.amount = float(meq.text) * per
            rows.append([spec[0], read, other])
            if wrong != 1:
                defects.add((len(rows), 3))
        return File(family, rows, [wanted(cells)],
                    defects=defects, **style(rng, i))
    return make


def side_by_side(family, language, specs):
    """A sample a column (Parameter, Unit, Well 1, Well 2) or two panels."""
    def make(rng, i):
        names, values, units = HEADS[language][i % len(HEADS[language])]
        if i % 2:
            half = len(specs) // 2
            cells = cells_of(rng, specs, language)
            rows = [[names, values, units] * 2]
            for k in range(half):
                row = []
                for at in (k, k + half):
                    row += [specs[at][0], cells[at], specs[at][2]]
                rows.append(row)
            return File(family, rows, [wanted(cells[:2 * half])],
                        **style(rng, i))
        several = [cells_of(rng, specs, language) for _ in range(2 + i % 3)]
        rows = [[names, units] + [f"Site {k + 1}"
                                  for k in range(len(several))]]
        for k, spec in enumerate(specs):
            rows.append([spec[0], spec[2]] + [s[k] for s in several])
        if i % 4 == 2:  # units after the samples; and without any head
            rows = [[r[0]] + r[2:] + [r[1]] for r in rows]
        return File(family, rows, [wanted(s) for s in several],
                    **style(rng, i))
    return make


# ---- Dutch: a sample a row ----------------------------------------------

MACROS = [("NH4", "NH4-N", N), ("K", "K", K), ("Na", "Na", NA), ("Ca", "Ca", CA),
          ("Mg", "Mg", MG), ("NO3", "NO3-N", N), ("Cl", "Cl", CL),
          ("SO4", "S", S), ("HCO3", "HCO3", 1), ("P", "P", P)]
TRACES = [("Fe", "Fe", FE), ("Mn", "Mn", MN), ("Zn", "Zn", ZN), ("B", "B", B),
          ("Cu", "Cu", CU), ("Mo", "Mo", MO)]


def dutch_cells(rng):
    w = water(rng)
    cells = [number(w, "pH", 1, 1), number(w, "EC", 1, 2)]
    cells += [number(w, key, factor, 3) for _, key, factor in MACROS]
    for _, key, factor in TRACES:
        cells.append(unseen(rng, key, factor * 1e-3, 2, ["<LOD", "n.d."])
                     if rng.random() < 0.2 else
                     number(w, key, factor * 1e-3, 2))
    return cells


def dutch(rng, i):
    names = ["pH", "EC"] + [m[0] for m in MACROS] + [t[0] for t in TRACES]
    units = ["", "mS/cm"] + ["mmol/l"] * len(MACROS) + ["µmol/l"] * len(TRACES)
    samples = [dutch_cells(rng) for _ in range(1 + i % 3)]
    titles = [["Verzonnen laboratorium"], ["Wateranalyse", "kas 3"]]
    given = ""
    if i % 5 == 0:  # units in brackets
        head = [f"{n} [{u}]" if u else n for n, u in zip(names, units)]
        rows = [["monster"] + head]
    elif i % 5 in (1, 4):  # a row of units
        rows = [["Monster"] + names, [""] + units]
    elif i % 5 == 2:  # nowhere: given for the file
        rows = [names]
        samples = samples[:1]
        given = "mmol/L; Fe Mn Zn B Cu Mo umol/L; EC mS/cm"
    else:  # feed beside drain
        both = [f"{p}_{n}" for p in ("irr", "drain") for n in names]
        rows = [["Monster"] + both, ["eenheid"] + units * 2]
        samples = [dutch_cells(rng), dutch_cells(rng)]
        rows.append(["kraan 1"] + samples[0] + samples[1])
        return File("Dutch", rows, [wanted(s) for s in samples],
                    **style(rng, i))
    first = 2 if i % 2 else 0
    rows = (titles if first else []) + rows
    for k, cells in enumerate(samples):
        rows.append(([] if given else [f"kraan {k + 1}"]) + cells)
    return File("Dutch", rows, [wanted(s) for s in samples], units=given,
                header=first, movable=i % 5 == 0, **style(rng, i))


# ---- Data files of laboratories: several samples, marks beside values ----

def data_file(rng, i):
    """Field id, analyte, result, mark or flag, limits: one reading a row."""
    flagged = i % 3
    head = [["Field ID", "Sample ID", "Client Sample ID"][i % 3], "Sample Date",
            "Analyte", "CAS No", "Result",
            ["Qualifier", "Detect Flag", "Non-detect"][flagged], "MDL", "RL",
            "Units", "Method", "Dilution"]
    rows, samples = [head], []
    for sample in range(1 + i % 3):
        cells = cells_of(rng, DISSOLVED, "English", 0)
        for (name, key, unit, factor, _), cell in zip(DISSOLVED, cells):
            mark, text, limit = ["", "Y", "0"][flagged], cell, ""
            if key in USUAL and rng.random() < 0.3:
                shown = f"{USUAL[key] / factor:.4g}"
                mark = [rng.choice(["U", "UJ", "ND", "<", "J,U"]), "N",
                        "1"][flagged]
                cell.text, cell.amount = shown, float(shown) * factor
                cell.below, limit = True, Cell(shown, "", 0)
                if rng.random() < 0.4:
                    text = rng.choice(["", "ND"])
            elif not flagged and rng.random() < 0.2:
                mark = rng.choice(["J", "B", "H"])
            rows.append([f"MW-{sample + 1}", f"0{4 + sample}/12/2023", name,
                         "7440-00-0", text, mark, limit, "", unit, "E200.7",
                         "1"])
        samples.append(wanted(cells))
    return File("data file", rows, samples, movable=True,
                **style(rng, i, commas=False))


# ---- What must be refused -----------------------------------------------

def refused(rng, i):
    """Cells nobody may guess at: each must be listed, in one run."""
    bad = [("nitrate", "12.5", "mg/L", 1), ("alkalinity", "180", "mg/L", 3),
           ("Ca", "48x", "mg/L", 2), ("Mg", "n.b.", "mg/L", 2),
           ("Calcum", "3", "mg/L", 1), ("Fe", ">10", "mg/L", 2),
           ("Na", "12.5", "mS/cm", 3), ("pH", "72", "", 2),
           ("Cl", "-4", "mg/L", 2), ("K", "1 200", "mg/L", 2)]
    good = [("Zn", "0.05", "mg/L"), ("S", "12.1", "mg/L"), ("B", "0.2", "mg/L")]
    rows = [["parameter", "value", "unit"]]
    defects = set()
    taken = rng.sample(bad, 3 + i % 5)
    for name, value, unit, column in taken:
        rows.append([name, value, unit])
        defects.add((len(rows), column))
    cells = []
    for name, value, unit in good:
        cells.append(Cell(value, name, float(value)))
        rows.append([name, cells[-1], unit])
    return File("refused", rows, None, defects=defects)


FAMILIES = {
    "US list": listed("US list", "English", US),
    "US dissolved": listed("US dissolved", "English", DISSOLVED),
    "Spanish list": listed("Spanish list", "Spanish", SPANISH),
    "Spanish mg and meq": two_units("Spanish mg and meq", "Spanish", SPANISH),
    "German list": listed("German list", "German", GERMAN),
    "French list": listed("French list", "French", FRENCH),
    "sample a column": side_by_side("sample a column", "English", US),
    "sample a column, German": side_by_side("sample a column, German",
                                            "German", GERMAN),
    "Dutch": dutch, "data file": data_file, "refused": refused}
