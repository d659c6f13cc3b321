# SPDX-License-Identifier: GPL-3.0-or-later
"""Files of public archives, made here as labs_made.py makes reports.  Values are
invented; the names of columns are the archives': Water Quality Portal,
Environment Agency (England), EEA Waterbase, Environment Canada (open data)."""
from labs_made import (CACO3, N, NH4, NO3, S, SI, SIO2, SO4, USUAL, Cell, File,
                       number, wanted, water)

# name, key, unit, fraction, basis, factor, decimals
PORTAL = [("pH", "pH", "std units", "Total", "", 1, 1),
          ("Specific conductance", "EC", "uS/cm @25C", "Total", "", 1e-3, 0),
          ("Calcium", "Ca", "mg/l", "Dissolved", "", 1, 1),
          ("Magnesium", "Mg", "mg/l", "Dissolved", "", 1, 2),
          ("Sodium", "Na", "mg/l", "Dissolved", "", 1, 1),
          ("Potassium", "K", "mg/l", "Dissolved", "", 1, 2),
          ("Chloride", "Cl", "mg/l", "Dissolved", "", 1, 1),
          ("Sulfate", "S", "mg/l", "Dissolved", "", S / SO4, 1),
          ("Nitrate", "NO3-N", "mg/l as N", "Dissolved", "", 1, 3),
          ("Ammonia and ammonium", "NH4-N", "mg/l", "Dissolved", "as N", 1, 3),
          ("Orthophosphate", "P", "mg/l", "Dissolved", "as P", 1, 3),
          ("Alkalinity", "alk", "mg/l CaCO3", "Total", "", 2 / CACO3, 1),
          ("Silica", "Si", "mg/l as SiO2", "Dissolved", "", SI / SIO2, 2),
          ("Iron", "Fe", "ug/l", "Dissolved", "", 1e-3, 1),
          ("Manganese", "Mn", "ug/l", "Dissolved", "", 1e-3, 1),
          ("Boron", "B", "ug/l", "Dissolved", "", 1e-3, 1),
          ("Zinc", "Zn", "ug/l", "Dissolved", "", 1e-3, 1),
          ("Copper", "Cu", "ug/l", "Dissolved", "", 1e-3, 1)]
NOT_READ = [("Atrazine", "ug/l", "0.01"), ("Escherichia coli", "cfu/100ml", "12"),
            ("Stream flow, instantaneous", "ft3/sec", "31"),
            ("Turbidity", "NTU", "3.1")]
LEFT_OUT = [("status", "Rejected"), ("fraction", "Bed Sediment"),
            ("fraction", "Suspended"), ("media", "Sediment"),
            ("activity", "Quality Control Sample-Field Blank"),
            ("activity", "Quality Control Sample-Field Replicate")]
STATES = ["Not Detected", "Present Below Quantification Limit", "*Non-detect",
          "Not Detected at Reporting Limit"]


def portal(rng, i, names, family):
    """Rows of the Water Quality Portal in columns called `names`."""
    keys = list(names)
    rows, samples = [], []
    for visit in range(1 + i % 3):
        w, cells = water(rng), []
        common = {"org": "INVENTED-WQ", "station": f"INVENTED-{1 + visit // 2:04}",
                  "date": f"2021-0{3 + visit}-14", "time": "09:30:00",
                  "status": "Final", "activity": "Sample-Routine",
                  "media": "Water", "method": "SM 3120"}
        for name, key, unit, fraction, basis, factor, decimals in PORTAL:
            row = dict(common, name=name, unit=unit, fraction=fraction,
                       basis=basis, state="", limit="", limit_unit="")
            if key in USUAL and rng.random() < 0.25:
                row["state"] = rng.choice(STATES)
                cell = Cell("", key, USUAL[key], True, True)
                if rng.random() < 0.7:
                    limit = f"{USUAL[key] / factor:.4g}"
                    cell.amount, cell.usual = float(limit) * factor, False
                    row["limit"] = Cell(limit, "", 0)
                    row["limit_unit"] = unit
                    if unit == "ug/l" and rng.random() < 0.5:
                        row["limit"] = Cell(f"{float(limit) / 1000:.6g}", "", 0)
                        row["limit_unit"] = "mg/l"
                row["value"] = ""
                if row["limit"] and rng.random() < 0.5:
                    row["unit"] = ""  # beside the limit alone
                cells.append(cell)
            else:
                row["value"] = number(w, key, factor, decimals)
                cells.append(row["value"])
            rows.append(row)
            if name == "Iron" and i % 2:  # the total, which is not read
                rows.append(dict(row, fraction="Total", state="", limit="",
                                 limit_unit="", value=Cell("4321", "", 0)))
        for key, word in LEFT_OUT:
            rows.append(dict(common, name="Zinc", unit="ug/l", value="9876",
                             **{key: word}))
        for name, unit, value in NOT_READ:
            rows.append(dict(common, name=name, unit=unit, value=value))
        samples.append(wanted(cells))
    if i % 3 == 2:
        rng.shuffle(rows)
    table = [[names[k] for k in keys]]
    table += [[row.get(k, "") for k in keys] for row in rows]
    return File(family, table, samples, separator="\t" if i % 4 == 3 else ",",
                encoding=["utf-8", "utf-8-sig", "utf-16"][i % 3], movable=True)


def wqx2(rng, i):
    return portal(rng, i, {
        "org": "OrganizationIdentifier", "date": "ActivityStartDate",
        "time": "ActivityStartTime/Time", "media": "ActivityMediaName",
        "station": "MonitoringLocationIdentifier", "name": "CharacteristicName",
        "state": "ResultDetectionConditionText",
        "fraction": "ResultSampleFractionText", "value": "ResultMeasureValue",
        "unit": "ResultMeasure/MeasureUnitCode", "basis": "MethodSpecificationName",
        "code": "USGSPCode", "status": "ResultStatusIdentifier",
        "activity": "ActivityTypeCode", "method": "ResultAnalyticalMethod/MethodName",
        "limit": "DetectionQuantitationLimitMeasure/MeasureValue",
        "limit_unit": "DetectionQuantitationLimitMeasure/MeasureUnitCode",
        "by": "ProviderName"}, "WQX 2")


def wqx3(rng, i):
    return portal(rng, i, {
        "org": "Org_Identifier", "station": "Location_Identifier",
        "date": "Activity_StartDate", "time": "Activity_StartTime",
        "media": "Activity_Media", "name": "Result_Characteristic",
        "fraction": "Result_SampleFraction", "basis": "Result_MethodSpeciation",
        "state": "Result_ResultDetectionCondition", "value": "Result_Measure",
        "unit": "Result_MeasureUnit", "limit": "DetectionLimit_MeasureA",
        "limit_unit": "DetectionLimit_MeasureUnitA",
        "kind": "DetectionLimit_TypeA",
        "status": "Result_MeasureStatusIdentifier",
        "activity": "Activity_TypeCode", "code": "USGSpcode"}, "WQX 3")


AGENCY = [("pH", "pH", "phunits", "pH", 1, 2),
          ("Cond @ 25C", "EC", "us/cm", "Conductivity at 25 C", 1e-3, 0),
          ("Alky pH 4.5", "alk", "mg/l", "Alkalinity to pH 4.5 as CaCO3",
           2 / CACO3, 0),
          ("Nitrate-N", "NO3-N", "mg/l", "Nitrate as N", 1, 2),
          ("Ammonia(N)", "NH4-N", "mg/l", "Ammoniacal Nitrogen as N", 1, 3),
          ("Orthophospht", "P", "mg/l", "Orthophosphate, reactive as P", 1, 3),
          ("Chloride Ion", "Cl", "mg/l", "Chloride", 1, 1),
          ("Calcium - Ca", "Ca", "mg/l", "Calcium", 1, 1),
          ("Magnesium-Mg", "Mg", "mg/l", "Magnesium", 1, 2),
          ("Sodium - Na", "Na", "mg/l", "Sodium", 1, 1),
          ("Potassium- K", "K", "mg/l", "Potassium", 1, 2),
          ("Sulphate SO4", "S", "mg/l", "Sulphate as SO4", S / SO4, 1),
          ("Iron - as Fe", "Fe", "ug/l", "Iron", 1e-3, 0),
          ("Boron - as B", "B", "ug/l", "Boron", 1e-3, 0),
          ("SiO2 Rv", "Si", "mg/l", "Silicate, reactive as SiO2", SI / SIO2, 1),
          ("Temp Water", "temperature", "cel", "Temperature of Water", 1, 1)]


def agency(rng, i):
    """The archive of England; from ten on the interface that came after."""
    late = i % 2 == 1
    if late:
        head = ["samplingPoint.notation", "phenomenonTime",
                "determinand.notation", "determinand.prefLabel", "result",
                "unit"]
    else:
        head = ["@id", "sample.samplingPoint", "sample.samplingPoint.notation",
                "sample.samplingPoint.label", "sample.sampleDateTime",
                "determinand.label", "determinand.definition",
                "determinand.notation", "resultQualifier.notation", "result",
                "codedResultInterpretation.interpretation",
                "determinand.unit.label", "sample.sampledMaterialType.label",
                "sample.isComplianceSample", "sample.purpose.label",
                "sample.samplingPoint.easting", "sample.samplingPoint.northing"]
    rows, samples = [], []
    for visit in range(1 + i % 3):
        w, cells = water(rng), []
        for name, key, unit, defined, factor, decimals in AGENCY:
            if late and key in ("alk", "P"):
                name = defined
            mark = ""
            cell = number(w, key, factor, decimals)
            if key in USUAL and rng.random() < 0.25:
                limit = f"{USUAL[key] / factor:.4g}"
                cell = Cell(("<" if late else "") + limit, key,
                            float(limit) * factor, True)
                mark = "<"
            cells.append(cell)
            when = f"2019-0{2 + visit}-05T10:15:00"
            rows.append(["TH-9001", when, "0001", name, cell, unit] if late else
                        ["http://invented", "http://invented", "TH-9001",
                         "INVENTED BOREHOLE", when, name, defined, "0001", mark,
                         cell, "", unit, "GROUNDWATER", "false",
                         "MONITORING", "400000", "200000"])
        extra = ["TH-9001", f"2019-0{2 + visit}-05T10:15:00", "0116",
                 "N Oxidised", "4.1", "mg/l"]
        rows.append(extra if late else
                    ["http://invented", "http://invented", extra[0], "", extra[1],
                     extra[3], "Nitrogen, Total Oxidised as N", "0116", "",
                     extra[4], "", "mg/l", "", "", "", "", ""])
        if not any(cell.key == "NO3-N" for cell in cells):
            cells.append(Cell("4.1", "NO3-N", 4.1)) # nitrate with nitrite
        samples.append(wanted(cells))
    if i % 3 == 2:
        rng.shuffle(rows)
    return File("Environment Agency", [head] + rows, samples, movable=True,
                encoding=["utf-8", "utf-8-sig"][i % 2])


WATERBASE = [("pH", "pH", "[pH]", 1, 2),
             ("Electrical conductivity", "EC", "uS/cm", 1e-3, 0),
             ("Nitrate", "NO3-N", "mg{NO3}/L", N / NO3, 2),
             ("Ammonium", "NH4-N", "mg{NH4}/L", N / NH4, 3),
             ("Phosphate", "P", "mg{P}/L", 1, 3),
             ("Chloride", "Cl", "mg/L", 1, 1), ("Calcium", "Ca", "mg/L", 1, 1),
             ("Magnesium", "Mg", "mg/L", 1, 1), ("Sodium", "Na", "mg/L", 1, 1),
             ("Potassium", "K", "mg/L", 1, 1),
             ("Sulphate", "S", "mg/L", S / SO4, 1),
             ("Total alkalinity", "alk", "mg{CaCO3}/L", 2 / CACO3, 1),
             ("Iron and its compounds", "Fe", "ug/L", 1e-3, 1),
             ("Boron", "B", "ug/L", 1e-3, 1)]


def waterbase(rng, i):
    head = ["monitoringSiteIdentifier", "monitoringSiteIdentifierScheme",
            "parameterWaterBodyCategory", "observedPropertyDeterminandCode",
            "observedPropertyDeterminandLabel", "procedureAnalysedMatrix",
            "resultUom", "phenomenonTimeSamplingDate", "resultObservedValue",
            "resultQualityObservedValueBelowLOQ", "procedureLOQValue",
            "parameterSampleDepth", "resultObservationStatus"]
    rows, samples = [], []
    for visit in range(1 + i % 3):
        w, cells = water(rng), []
        for name, key, unit, factor, decimals in WATERBASE:
            cell, flag, loq = number(w, key, factor, decimals), "0", ""
            if key in USUAL and rng.random() < 0.3:
                limit = f"{USUAL[key] / factor:.4g}"
                flag, half = "1", rng.random() < 0.5
                loq = Cell(limit, "", 0)
                cell = Cell(f"{float(limit) / 2:.5g}" if half else limit, key,
                            float(limit) * factor, True)
            cells.append(cell)
            rows.append([f"XX_{visit}", "eionetMonitoringSiteCode", "GW",
                         "CAS_0-0-0", name, "W-SPM", "mg/kg", "2016-05-11",
                         "98765", "0", "", "0", "A"])
            rows.append([f"XX_{visit}", "eionetMonitoringSiteCode", "GW",
                         "CAS_0-0-0", name, "W-DIS", unit, "2016-05-11", cell,
                         flag, loq, "0", "A"])
        samples.append(wanted(cells))
    if i % 3 == 1:
        rng.shuffle(rows)
    return File("Waterbase", [head] + rows, samples, movable=True,
                encoding=["utf-8-sig", "utf-8"][i % 2],
                separator=[",", ";", "\t"][i % 3])


CANADA = [("PH", "pH", "PH UNITS", 1, 2),
          ("SPECIFIC CONDUCTANCE", "EC", "USIE/CM", 1e-3, 0),
          ("CALCIUM DISSOLVED", "Ca", "MG/L", 1, 1),
          ("MAGNESIUM DISSOLVED", "Mg", "MG/L", 1, 2),
          ("SODIUM DISSOLVED/FILTERED", "Na", "MG/L", 1, 1),
          ("POTASSIUM DISSOLVED/FILTERED", "K", "MG/L", 1, 2),
          ("CHLORIDE DISSOLVED", "Cl", "MG/L", 1, 1),
          ("SULPHATE DISSOLVED", "S", "MG/L", S / SO4, 1),
          ("ALKALINITY TOTAL CACO3", "alk", "MG/L", 2 / CACO3, 1),
          ("IRON DISSOLVED", "Fe", "UG/L", 1e-3, 1),
          ("MANGANESE DISSOLVED", "Mn", "UG/L", 1e-3, 1),
          ("ZINC DISSOLVED", "Zn", "UG/L", 1e-3, 1),
          ("BORON DISSOLVED", "B", "UG/L", 1e-3, 1)]


def canada(rng, i):
    encoding = ["cp1252", "utf-8", "utf-8-sig"][i % 3]
    head = ["SITE_NO", "DATE_TIME_HEURE", "FLAG_MARQUEUR", "VALUE_VALEUR",
            "SDL_LDE", "MDL_LDM", "VMV_CODE",
            "UNIT_UNITÉ" if i % 2 else "UNIT_UNITE", "VARIABLE", "VARIABLE_FR",
            "STATUS_STATUT"]
    rows, samples = [], []
    for visit in range(1 + i % 3):
        w, cells = water(rng), []
        for name, key, unit, factor, decimals in CANADA:
            cell, mark = number(w, key, factor, decimals), ""
            if key in USUAL and rng.random() < 0.3:
                limit = f"{USUAL[key] / factor:.4g}"
                cell, mark = Cell(limit, key, float(limit) * factor, True), "<"
            sdl = Cell(cell.text if mark else "", "", 0)
            cells.append(cell)
            rows.append(["XX08NM0001", f"2020-0{4 + visit}-21 11:05", mark, cell,
                         sdl, "", "100217", unit, name, "", "P"])
        samples.append(wanted(cells))
    return File("Environment Canada", [head] + rows, samples, movable=True,
                encoding=encoding)


FAMILIES = {"WQX 2": wqx2, "WQX 3": wqx3, "Environment Agency": agency,
            "Waterbase": waterbase, "Environment Canada": canada}
