"""Documents and libraries that the claims rest on. An edition is given where it is known; most were not seen whole.

How a value came from its document is each claim's provenance, not told here.
"""

from .claims import Source

MATHEMATICS = Source("mathematics", "a closed form, an integral or a series, evaluated in the test itself")
PRACTICE_OF_THE_TRADE = Source("trade", "a fact of the trade; no document")

DOE = Source(
    "DOE",
    "US Department of Energy, Engineering Reference (inside heat balance, room air models, infiltration)",
)
CFAST = Source("CFAST", "NIST, CFAST Technical Reference Guide and its verification suite")
INCROPERA = Source(
    "Incropera", "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, worked examples"
)
ISO_6946 = Source(
    "ISO 6946", "ISO 6946, Building components: thermal resistance and transmittance; edition not recorded"
)
HT = Source("ht", "ht 1.2.0, correlations of heat transfer")
FLUIDS = Source("fluids", "fluids 1.3.1, fluid mechanics")
COOLPROP = Source("CoolProp", "CoolProp 8.0.0, properties of fluids")
PSYCHROLIB = Source("PsychroLib", "PsychroLib 2.5.0, moist air")
GLUECK = Source("Glueck", "B. Glueck's films of rooms, through the open AixLib library")
MCADAMS = Source("McAdams", "W. H. McAdams, Heat Transmission: 5.7 + 3.8 v along a plate")
VDI_6007 = Source(
    "VDI 6007-1",
    "VDI 6007-1, Calculation of transient thermal response of rooms, test cases 1 to 3, through the open Modelica "
    "Buildings Library; edition not recorded",
)
ISO_13786 = Source(
    "ISO 13786", "ISO 13786, Dynamic thermal characteristics; its method, edition not recorded"
)
ISO_10211 = Source("ISO 10211", "ISO 10211, Thermal bridges, validation case 1; edition not recorded")
IVP_TEST_SET = Source("IVP Test Set", "Test Set for IVP Solvers, HIRES and Robertson, through public copies")
SCIPY = Source("SciPy", "SciPy 1.17.1, its own solvers asked without simtent")
SUNDIALS = Source(
    "SUNDIALS", "CVODE of SUNDIALS through scikit-sundae 1.2.0, asked with simtent's right-hand side"
)
SHAMPINE = Source(
    "Shampine", "L. F. Shampine and M. W. Reichelt, SIAM Journal on Scientific Computing 18 (1997) 1-22"
)

# Wood, fire and flue.
ISO_18125 = Source(
    "EN ISO 18125", "EN ISO 18125, Solid biofuels: calorific value; edition not recorded, text not seen"
)
EN_13384 = Source(
    "EN 13384-1",
    "EN 13384-1, Chimneys: thermal and fluid dynamic calculation methods, equations and tables B.1, B.2, B.8; "
    "edition not recorded, text not seen",
)
EN_13240 = Source(
    "EN 13240", "EN 13240, Roomheaters fired by solid fuel; edition not recorded, text not seen"
)
EN_1993 = Source(
    "EN 1993-1-2",
    "EN 1993-1-2, Eurocode 3: structural fire design, section 3.4.1.2; edition not recorded, text not seen",
)
MACFP = Source(
    "MaCFP",
    "MaCFP wood calibration set (repository MaCFP/matl-db, commit 14b73ea, MIT): 25 mm pine in the cone calorimeter, "
    "one face heated; eight runs stand in tests/data/wood_cone, figures of all 57 usable runs were computed once",
)
NIST_BOARDS = Source(
    "NIST boards",
    "NIST, experimental data kept with its fire models (firemodels/exp): boards of 20 mm oak and of pine in the cone "
    "calorimeter",
)
BABRAUSKAS = Source("Babrauskas", "V. Babrauskas in the SFPE Handbook of Fire Protection Engineering")
ALBINI = Source(
    "Albini-Reinhardt",
    "F. A. Albini and E. D. Reinhardt 1995, ignition and burning of large woody fuels, through the source code of the "
    "US Forest Service's fire-effects program",
)
EMISSIONS = Source(
    "smoke of wildland fires",
    "combustion efficiencies of flaming and smouldering in the US Forest Service's emission model",
)
OXYGEN_CONSUMPTION = Source(
    "oxygen consumption", "calorimetry by oxygen consumption: 13.1 MJ per kg of oxygen, whatever burns"
)
BALDWIN = Source("Baldwin", "S. F. Baldwin 1987, Biomass Stoves")
PLANK = Source("Plank", "R. Plank's equation of a front that moves into a body, here of drying")
METALS_HANDBOOK = Source("handbook of metals", "specific heats as heat-transfer textbooks tabulate them")
ASHRAE = Source("ASHRAE", "ASHRAE Handbook, chimneys and draught; edition not recorded")
GREY_GASES = Source("grey gases", "emissivity of carbon dioxide and vapour by a weighted sum of grey gases")
IDELCHIK = Source("Idelchik", "I. E. Idelchik, Handbook of Hydraulic Resistance, butterfly valve")
ANALYSER = Source(
    "flue-gas analysers",
    "the short form by which flue-gas analysers tell the stack loss of wood (A2 .765, B 0)",
)
MORTON_TAYLOR_TURNER = Source(
    "Morton-Taylor-Turner", "B. R. Morton, G. I. Taylor and J. S. Turner 1956, turbulent plumes from points"
)
BAINES_TURNER = Source(
    "Baines-Turner", "W. D. Baines and J. S. Turner 1969, the front of a sealed filling box"
)
GERMELES = Source("Germeles", "A. E. Germeles 1975, filling boxes in layers that never mix; method only")
LINDEN = Source(
    "Linden et al.",
    "P. F. Linden, G. F. Lane-Serff and D. A. Smeed 1990, emptying filling boxes, J. Fluid Mech.",
)
PLUME_GUIDE = Source("plume guide", "a designers' form of the plume's flow, 5 l/s x W^(1/3) m^(5/3)")
TOGARI = Source(
    "Togari et al.", "S. Togari et al. 1993, block model of large halls; the original was not seen"
)
ECKERT_JACKSON = Source(
    "Eckert-Jackson",
    "E. R. G. Eckert and T. W. Jackson, turbulent boundary layer of natural convection, vertical plate",
)
LBNL = Source(
    "Modelica Buildings", "Modelica Buildings Library (LBNL), listed results of a multizone airflow program"
)
DOE_INPUT = Source(
    "DOE input reference",
    "US Department of Energy, Input Output Reference: coefficients of two leakage models",
)
ASHRAE_LEAKAGE = Source(
    "ASHRAE leakage",
    "ASHRAE Handbook Fundamentals, infiltration; 1997 p. 25.18, through the IBPSA Modelica library",
)
ASHRAE_EXAMPLE = Source(
    "ASHRAE example", "ASHRAE Handbook Fundamentals, a worked example of leakage; edition not recorded"
)
OTTAWA = Source(
    "DREO TN 77-23",
    "Defence Research Establishment Ottawa, Technical Note 77-23, 1977 (abstract): air that enters an arctic tent is "
    "governed by the openings at its base, not at its peak",
)
BARTOK = Source("Bartok", "J. Bartok, article of a university's extension service on the heat of greenhouses")
EN_1991 = Source("EN 1991-1-4", "EN 1991-1-4, wind actions; edition not recorded")
IEA_SLAB = Source(
    "IEA slab",
    "International Energy Agency, Task 34/43, in-depth cases of floor slabs, GC10a; seen as case data in the tests of "
    "an open ground library",
)
ISO_13370 = Source(
    "ISO 13370",
    "ISO 13370, heat transfer via the ground, slab on ground; edition not recorded, seen through an open library",
)
STURM = Source(
    "Sturm et al.",
    "M. Sturm et al. 1997, conductivity of seasonal snow, J. Glaciology 43(143), through an open model",
)
SNOW_SCHEME = Source(
    "HTESSEL", "land surface scheme of a weather model: conductivity of snow by a power of its density"
)
FOAM_MATS = Source("foam mats", "closed-cell foam of 0.035 to 0.045 W/(m K); mats measured as overlays")
STEFAN = Source("Stefan-Neumann", "J. Stefan and F. Neumann, the front of melting in a half space")
HANDBOOKS_OF_WATER = Source("water and ice", "heat of melting and specific heats as handbooks have them")
SCHARFETTER_GUMMEL = Source(
    "Scharfetter-Gummel", "D. Scharfetter and H. K. Gummel 1969, exponentially fitted flux between two points"
)
ISO_15099 = Source(
    "ISO 15099", "ISO 15099, cavities of windows, through an open building library; edition not recorded"
)
HOLLANDS = Source(
    "Hollands", "Hollands et al. 1976, air layers heated from below at a tilt up to 60 degrees; not seen"
)
HEAT_ATLAS = Source("Heat Atlas", "VDI Heat Atlas, plates facing up, through independent implementations")
ASHRAE_FILMS = Source(
    "ASHRAE films",
    "ASHRAE Handbook Fundamentals 2021, chapter 26, table 10, films of still air by emissivity",
)
ASHRAE_MOIST_AIR = Source(
    "ASHRAE moist air",
    "ASHRAE Handbook Fundamentals 2017, chapter 1, table 3, vapour at saturation, through PsychroLib's tests",
)
MURPHY_KOOP = Source(
    "Murphy and Koop",
    "D. M. Murphy and T. Koop 2005, vapour over supercooled water, 123 to 332 K; from memory",
)
ASHRAE_140 = Source("ASHRAE 140", "ASHRAE 140-2017, films of rooms, through the open AixLib library")
ASHRAE_WIND = Source(
    "ASHRAE wind",
    "the combined film of a very smooth face in wind, 8.23 + 3.33 v - 0.036 v2 (1989), through AixLib",
)
MIHARA_HAYASHI = Source(
    "Mihara and Hayashi",
    "Mihara and Hayashi 1979, J. Agric. Meteorology 35(1), film greenhouses on winter nights; abstract seen",
)
GREENHOUSE_ABSTRACTS = Source(
    "greenhouses",
    "abstracts on greenhouses and their screens: Geoola et al. 2009, Rasheed et al. and others",
)
CARROLL = Source("Carroll", "Carroll 1980, the star of mean radiant temperature; not seen")
CLARK_ALLEN = Source(
    "Clark and Allen", "Clark and Allen 1978, clear skies by the dew point, through open libraries"
)
BERDAHL_MARTIN = Source(
    "Berdahl and Martin",
    "Berdahl and Martin 1984, Solar Energy 32(5), clear skies and cloud, through open libraries",
)
SWINBANK = Source(
    "Swinbank", "Swinbank 1963, clear skies by the air's temperature alone, through open libraries"
)
SURFRAD = Source(
    "SURFRAD",
    "NOAA SURFRAD, one-minute record of 1 January 2016 (UTC), 37.70 N 105.92 W, 2317 m, beside the tests",
)
PVLIB = Source("pvlib", "pvlib 0.16.1, the sun")
KASTEN_CZEPLAK = Source(
    "Kasten and Czeplak",
    "Kasten and Czeplak 1980, Solar Energy 24, cloud, through the open source of a soil-water model",
)

DAY_LENGTHS = Source("almanacs", "tables of the length of the day; no document at hand")
HILLEL = Source("Hillel", "D. Hillel 1982, soil physics: conductivity of ice, through an open model")

# What could hurt somebody.
COBURN_FORSTER_KANE = Source(
    "Coburn-Forster-Kane",
    "R. F. Coburn, R. E. Forster and P. B. Kane 1965, the uptake equation with its constants through a public "
    "implementation; values computed from it apart from simtent",
)
UPTAKE_TABLE = Source(
    "uptake table",
    "84 values in tests/data/cohb_checks.csv, the nonlinear equation of Coburn, Forster and Kane integrated once, "
    "apart from simtent",
)
WEAVER = Source("Weaver", "L. K. Weaver 2000, half-life of carboxyhaemoglobin in patients; seen in quotation")
STEWART = Source(
    "Stewart", "R. D. Stewart 1975, carbon monoxide in volunteers and by reckoning; in quotation"
)
WHO_2000 = Source("WHO 2000", "WHO, Air Quality Guidelines for Europe, 2000; its table was not seen")
UL_2034 = Source("UL 2034", "UL 2034, carbon monoxide alarms; edition not recorded, seen in quotation")
EN_50291 = Source(
    "EN 50291", "EN 50291, carbon monoxide alarms for homes; edition not recorded, seen in quotation"
)
VIEW_FACTORS = Source("view factors", "closed forms of heat-transfer textbooks, evaluated apart from simtent")
FLUX_TABLE = Source(
    "flux and cloth",
    "tables of radiation from a stove and of the cloth that meets it, computed once, apart from simtent, from closed "
    "forms",
)
RESIDENTIAL_CODE = Source(
    "IRC M1703", "International Residential Code, M1703, air from outdoors; edition not recorded"
)
PERSILY = Source(
    "Persily and de Jonge",
    "A. Persily and L. de Jonge 2017, Indoor Air, carbon dioxide that people give off; abstract seen",
)

# What people feel and need.
ISO_7730 = Source(
    "ISO 7730",
    "ISO 7730:2005, local discomfort: formulas, classes and the limit of 8 K as several unrelated public programs have "
    "them alike; text not seen",
)
ISO_7730_TABLES = Source("ISO 7730, Annex A", "ranges of the floor's temperature, from memory")
PYTHERMALCOMFORT = Source(
    "pythermalcomfort",
    "pythermalcomfort 4.8.1, comfort; asked once, its answers stand in the tests",
)
ISO_11079 = Source(
    "ISO 11079",
    "ISO 11079:2007, annex F, table of worked cases (neutral), seen in the tests of pythermalcomfort 4.8.1; walking "
    "there at least 0.5 m/s",
)
ANGELOVA = Source(
    "Angelova et al.",
    "R. A. Angelova et al. 2017, Fibres and Textiles in Eastern Europe 25(1): 95-101, exposure by ISO 11079, seen in a "
    "public program's tests",
)
HAVENITH_BAGS = Source(
    "Havenith et al.",
    "G. Havenith, E. den Hartog and R. Heus 2004, Moisture accumulation in sleeping bags at -7 and -20 degC, "
    "Ergonomics 47: 1424; its abstract alone",
)
DRDC_BAGS = Source(
    "DRDC 2003-070", "Defence R&D Canada Toronto, TR 2003-070, on vapour in sleeping bags; its abstract alone"
)
DAMP_CASES = Source(
    "damp cases",
    "frost on fabric computed once, apart from simtent, on differences of vapour density",
)

# Readings to find numbers from.
MODESTPY = Source("modest-py", "synthetic set of github.com/sdu-cfei/modest-py, with its true parameters")
TCLAB = Source("TCLab", "readings of github.com/APMonitor/arduino, two heaters, measured")
