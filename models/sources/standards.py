"""Standards and guides of committees, as far as a public page repeats them."""

from models.sources.entry import Source

STANDARDS: dict[str, Source] = {
    "ACI_201_DEICING": Source(
        "ACI 201 and ACI 302, first winter: six weeks over 4 C (40 F) and air drying before de-icing salt",
        "concreteconstruction.net/how-to/preventing-deicer-scaling_o",
    ),
    "ACI_209R": Source(
        "ACI 209R-92 equation 2-1, strength against age",
        "coefficients as held in an open state DOT library, github.com/WSDOT/WBFL",
        "library",
    ),
    "ACI_214R": Source("ACI 214R, classes of field control", "", "from memory"),
    "ACI_301": Source(
        "ACI 301-20: no more than 160 F (70 C) inside, against delayed ettringite",
        "concrete.org/tools/frequentlyaskedquestions.aspx?faqid=889",
    ),
    "ACI_305R": Source(
        "ACI 305R / 305.1, evaporation of 1.0 kg/m2h (0.2 lb/ft2h) from fresh concrete",
        "repeated in UFGS 03300N, ufgscriteriadocreport.tpub.com/03300N/03300N0037.htm",
    ),
    "ACI_305_1": Source(
        "ACI 305.1-14 3.3, concrete as placed at 95 F (35 C) at the most",
        "spaspecialcommitteesibu.com/aci-305-1-14-specifcation-for-hot-weather-concreting.html;"
        " BS 8500-2 has 35 C too, nhbc-standards.co.uk 3.1.15",
    ),
    "ACI_306_1": Source(
        "ACI 306.1-90: protected over 50 F for 3 days, 2 where it hardens early, then no more than 50 F of"
        " fall in 24 h under 12 in; 3.2.3, all protection off once the surface is within 20 F of the air;"
        " nothing on frozen ground or among ice",
        "concreteconstruction.net/how-to/length-of-protection-period-in-cold-weather_o;"
        " lfportal.everettwa.gov doc 815620 page 251; codelibrary.amlegal.com Lawrenceburg IN",
    ),
    "ACI_306R": Source(
        "ACI 306R-88 tables 3.1 (as placed, as mixed, fall in 24 h) and 5.5 (days of protection); later"
        " editions number the first 5.1, from memory",
        "repeated in Masonry and Concrete (2004) figures 3-37 and 3-38,"
        " digilib.universitaspertamina.ac.id, pages 78 and 79",
    ),
    "ACI_306R_CYCLES": Source(
        "ACI 306R-16: 3.5 MPa (500 psi) for one freezing while it dries out by itself, 24 MPa (3500 psi)"
        " before cycles of freezing while critically saturated",
        "concrete.org/frequentlyaskedquestions.aspx?faqid=795",
    ),
    "ACI_306R_WATER": Source(
        "ACI 306R-16 5.3: mixing water over 140 F (60 C) meets the aggregate before the cement",
        "scribd.com/document/414970749; concreteconstruction.net/how-to/cold-weather-concreting_o",
    ),
    "ACI_308R": Source(
        "ACI 308R / ACI 318 26.5.3, curing to 70 % of the specified strength",
        "0.7 of the characteristic strength is printed for DIN 1045-3 instead, see DIN_1045_3",
        "from memory",
    ),
    "ACI_309R": Source(
        "ACI 309R-96: placing is resumed before the surface hardens; kept live by vibrating it anew every"
        " 15 minutes or less; once it comes near its initial set it is left, and a cold joint results",
        "theconcreteproducer.com/associations/how-long-before-a-cold-joint-.aspx",
    ),
    "ACI_318": Source(
        "ACI 318, modulus of rupture 7.5 sqrt(f'c psi) = 0.62 sqrt(f'c MPa)",
        "japaniscountry.com/modulus-of-rupture",
    ),
    "ACI_318_BREAKOUT": Source(
        "ACI 318-19 sections 17.6.2.2.1 and 17.6.2.4.1b, breakout of an anchor in tension: kc 24 cast in",
        "examples of a design guide of October 2025, pages 73, 86, 106 and 145, viewer.joomag.com/"
        "design-guide-for-considering-concrete-breakout-in-shear-using-aci-318-anchoring-to-concrete",
    ),
    "ACI_318_COVER": Source(
        "ACI 318 section 20.5.1, cover over reinforcement: 1 1/2 in exposed, 3/4 in not exposed",
        "up.codes/s/provisions-for-durability-of-steel-reinforcement",
    ),
    "ACI_318_CURING": Source(
        "ACI 318-05 5.11.1 and 5.11.2 (26.5.3 of ACI 318-14): moist over 50 F for 7 days, high-early 3",
        "quoted at eng-tips.com/viewthread.cfm?qid=147680",
    ),
    "ACI_347": Source(
        "ACI 347R-94 for walls: 12 h, counting hours over 50 F (10 C)",
        "concreteconstruction.net/how-to/when-to-strip-forms_o;"
        " concreteconstruction.net/how-to/stripping-wall-forms-during-cold-weather_o",
    ),
    "ACI_347_COEFFICIENTS": Source(
        "ACI 347, coefficients of unit weight and of chemistry beside the pressure formulas",
        "held in an open program, github.com/EarthworkJoe/ConcForm-calc Concrete.rb",
        "second-hand",
    ),
    "ACI_347_PRESSURE": Source(
        "ACI 347-04 2.2.2 and 347R-14, lateral pressure of fresh concrete on walls: where the rate formulas"
        " hold, the full head elsewhere",
        "concreteconstruction.net/how-to/use-updated-wall-pressure-formulas_o",
    ),
    "ACI_548_3R": Source(
        "ACI 548.3R polymer-modified concrete: one to two days of moist cure, then dry air",
        "concrete.org, international concrete abstracts portal 9761;"
        " concreteconstruction.net/how-to/repair/latex-modified-concrete-and-mortar-for-repair_o",
    ),
    "ACI_551": Source(
        "ACI 551.1R section 6, on the weight of a panel that is tilted up: 1.25 to 2.0",
        "constructivision.github.io/ConstructiVision, lift engineering calculations",
        "second-hand",
    ),
    "ASTM_C1074": Source(
        "ASTM C1074, maturity functions",
        "form of both functions; constants from memory",
        "from memory",
    ),
    "ASTM_C403": Source(
        "ASTM C403, setting by penetration resistance 3.5 and 27.6 MPa",
        "slagcement.org, information sheet 3",
    ),
    "ASTM_C494": Source(
        "ASTM C494, types of admixture: A saves 5 to 10 % of the water, F 12 % at least",
        "legalclarity.org/astm-c494-admixture-types-requirements-and-testing",
        "second-hand",
    ),
    "ASTM_C928": Source(
        "ASTM C928, packaged rapid-hardening materials, table 1", "C928-05 table 1", "standard"
    ),
    "ASTM_C979": Source(
        "ASTM C979 1.4, pigments: at most 10 mass % of the cement, all of them together",
        "scope at nbn.be/shop/fr/norme/c0979-05_61848",
    ),
    "ASTM_D4263": Source(
        "ASTM D4263, moisture in concrete under a taped plastic sheet, 16 h at the least",
        "tnlab.org/en/d4263-24-standard-test-method-technical-guide",
    ),
    "ASTM_F2170": Source(
        "ASTM F2170, relative humidity in concrete in holes at 40 % or 20 % of the depth",
        "sections 10.1 to 10.3, quoted; the standard itself was not read",
        "second-hand",
    ),
    "CEB_FIP_1990": Source(
        "CEB-FIP Model Code 1990 and fib 2010, moisture diffusion 1e-8 / fck m2/s, 0.05, 0.80, 15",
        "0.05, 0.80 and 15 are the values of github.com/oofem/oofem; 1e-8 / fck from memory",
        "from memory",
    ),
    "CEB_FIP_CHARACTERISTIC": Source(
        "CEB-FIP Model Code 1990: the characteristic strength lies 8 MPa under the mean; 4000 K in its age",
        "tnodiana.com/upload/files/DIANA/HTML/MatLib/node264.html",
    ),
    "CSA_A23_1": Source(
        "Canadian practice beside CSA A23.1 clause 7.1.2: 7 MPa before concrete may freeze",
        "inengineering.ca/concrete-and-cold-weather",
    ),
    "DIN_1045_3": Source(
        "DIN 1045-3: concrete as placed by the air; 5 N/mm2, kept from rain and snow, or three days at 10 C,"
        " before frost; days of curing by surface and hardening; to 0.5, or 0.7, of the characteristic strength",
        "betontechnische-daten.de/de/10-3-frischbetontemperatur;"
        " betontechnische-daten.de/de/10-4-gefrierbestaendigkeit;"
        " betontechnische-daten.de/de/10-7-3-nachbehandlungsdauer",
    ),
    "EN_12524": Source(
        "EN 12524:2000 design values of building materials",
        "tables carried by the package pypi.org/project/ht",
        "library",
    ),
    "EN_1993_1_1": Source(
        "EN 1993-1-1 3.2.6 and table 3.1: steel, 210 000 MPa, S235", "", "from memory"
    ),
    "EN_1995_1_1": Source(
        "EN 1995-1-1 tables 3.1 and 3.2: strength and creep of boards by time and damp; 1.3 on boards",
        "table 3.2 as held in public code of timber design, read in a search; the rest from memory",
        "second-hand",
    ),
    "EN_206": Source(
        "EN 206 5.2.9, concrete as delivered at 5 C or more",
        "nhbc-standards.co.uk 3.2.4; concrete.org.uk/fingertips-nuggets.asp?cmd=display&id=392",
    ),
    "EN_13670": Source(
        "EN 13670:2009 annex F tables F.1 to F.3, curing classes and days",
        "12 h and tables at ebeton.cz/pojmy/doba-osetrovani; columns of medium hardening as TKP 18 gives"
        " them in the notes of one bridge",
        "second-hand",
    ),
    "EN_338": Source("EN 338, structural timber C16: mean stiffness 8000 N/mm2", "", "from memory"),
    "EN_FLEXURAL": Source(
        "EN 1992-1-1:2004 (3.23), strength in bending by depth",
        "github.com/Blueprints-org/blueprints, test of formula 3.23",
        "library",
    ),
    "EN_1992_1_1": Source(
        "EN 1992-1-1:2004 3.1.2, table 3.2 and B.1(3); fib MC2010 5.1-85",
        "github.com/fib-international/structuralcodes; table 3.2 at hezhiquan.com (C20/25, 40 %: 0.60;"
        " C40/50: 0.48 permille)",
        "library",
    ),
    "EN_1992_1_2": Source(
        "EN 1992-1-2:2004 4.5.1, explosive spalling unlikely under 3 % moisture",
        "found on no page; DTU_DS_411 has 3 to 4 % for traditional concrete",
        "from memory",
    ),
    "EN_312": Source(
        "EN 312 type P2, 13 to 20 mm: bending 11 MPa, stiffness 1600 MPa, thickness within 0.3 mm",
        "a maker's technical data repeat strength and thickness; the stiffness is from memory",
        "second-hand",
    ),
    "EN_572_1": Source("EN 572-1 soda lime glass: 70 000 MPa, 2500 kg/m3", "", "from memory"),
    "EN_622_5": Source(
        "EN 622-5 MDF, over 12 to 19 mm: 20 MPa, 2200 MPa at least", "", "from memory"
    ),
    "EN_636": Source(
        "EN 636 plywood, weak way: bending class F 20 or so, 3000 to 6000 MPa", "", "from memory"
    ),
    "FAO_56": Source(
        "FAO Irrigation and Drainage Paper 56 (1998): equation 47, wind profile over grass; equation 8,"
        " psychrometric constant",
        "ncl.ucar.edu/Document/Functions/Crop/u2_fao56.shtml;"
        " ncl.ucar.edu/Document/Functions/Crop/psychro_fao56.shtml",
    ),
    "HSE_L23": Source(
        "HSE L23 (third edition) paragraph 120: a team of two has two thirds of its sum, of three half",
        "yumpu.com/en/document/view/27601006 page 32;"
        " reachback.builtintelligence.com/t/has-hse-published-any-guidelines-on-team-handling/1478",
    ),
    "HSE_L23_FILTER": Source(
        "HSE L23, lifting filter: 25 kg for a man, 16 kg for a woman, near at the waist",
        "uaetrip.ae/faq/109029 repeats both; no limits, hse.gov.uk/msd/manual-handling-risk-filters.htm",
        "second-hand",
    ),
    "ISO_6946": Source(
        "ISO 6946, surface resistances 0.13, 0.10, 0.17 m2K/W",
        "htflux.com/en/documentation/boundary-conditions/surface-resistance-heat-transfer-coefficient",
    ),
    "ISO_13788": Source(
        "ISO 13788, vapour in a room over that outdoors: class 1, storage, to 270 Pa at 0 C and under",
        "annex A",
        "from memory",
    ),
    "ISO_8502_4": Source(
        "ISO 8502-4 and FHWA-RD-98-084: a face and air 3 C (5 F) over the dew point",
        "fhwa.dot.gov/publications/research/infrastructure/structures/98084/paintinga.cfm",
    ),
    "MARINE_PAINTING": Source(
        "Coating advisers: no paint over 85 % relative humidity, or under 3 C over the dew point",
        "seaspirit.ru/marine_books/surface-preparating-and-painting.html (as in ISO 8502-4 and"
        " ISO 12944-7)",
    ),
    "NIST_SP_811": Source("NIST SP 811, conversion factors", "physics.nist.gov/cuu/pdf/sp811.pdf"),
    "NZ_MESH_LAPS": Source(
        "NZS 3101 clause 8.7.6(a), laps of mesh by two cross wires: one pitch and 50 mm",
        "building.govt.nz/building-code-compliance/b-stability/b1-structure/"
        "lap-lengths-for-reinforcing-steel-mesh-fabric",
    ),
    "NIOSH_94_110": Source(
        "NIOSH 94-110, revised lifting equation: 23 kg, 25/H, 1 - 0.003 |V - 75|, 0.82 + 4.5/D",
        "what-when-how.com/Tutorial/topic-53604 page 892",
    ),
    "PCI_HANDLING": Source(
        "Precast stripping practice: cracking limit 7.5 sqrt / 1.5 = 5 sqrt(f'ci psi)",
        "PCI New England, answers on deck panels, for the factor 1.5; no address is left",
        "second-hand",
    ),
    "PICK_POINTS": Source(
        "Pile lifted at two points, hogging as much as sagging: 0.207 L from the ends",
        "curioustab.com/ensure-hogging-bending-moment-two-points-suspension-pile-67968",
    ),
    "TILT_UP_INSERTS": Source(
        "Panels that are tilted up: an impact allowance of 50 percent, 7500 pounds for one of 5000",
        "concreteconstruction.net/how-to/strength-of-inserts-for-tilt-up_o",
    ),
    "UFC_3_190_06": Source(
        "UFC 3-190-06 protective coatings and paints (2004): 7.4.1 40 F; 9.6.6 and 8.3.3.2 a face 5 F over the"
        " dew point and rising",
        "ufgscriteria.tpub.com/3_190_06/3_190_060170.htm and 3_190_060159.htm",
    ),
    "UN_GHS": Source(
        "UN Globally Harmonized System (GHS), annex 3: hazard and precautionary statements by number",
        "unece.org/transport/dangerous-goods/about-ghs",
        "from memory",
    ),
    "OSHA_SILICA": Source(
        "29 CFR 1926.1153 respirable crystalline silica: 50 micrograms in a cubic metre over 8 h; water or"
        " extraction at the tool",
        "osha.gov, 29 CFR 1926.1153",
        "second-hand",
    ),
    "UFGS_03300": Source(
        "UFGS 03300 3.8: the vibrator at least 150 mm (6 in) into the preceding layer, slabs of 100 mm (4 in)"
        " or less aside; placed within two hours or until it begins to lose its plasticity",
        "ufgscriteriadocreport.tpub.com/03300A/03300A0042.htm",
    ),
    "UFGS_03700": Source(
        "UFGS 03700 concrete repair and 03301A, grout rub and patches",
        "ufgscriteriadocreport.tpub.com/03700",
    ),
    "UFGS_07190": Source(
        "UFGS 07190 water repellents", "ufgscriteriadocreport.tpub.com/07190/071900013.htm"
    ),
    "UFGS_09971": Source(
        "UFGS 09971 painting of hydraulic structures, recoat windows and pot life",
        "ufgscriteriadocreport.tpub.com/09971",
    ),
    "UFGS_09973": Source(
        "UFGS 09973, coatings on concrete: a face of 60 to 100 F (16 to 38 C)",
        "ufgscriteriadocreport.tpub.com/09973/099730026.htm",
    ),
    "VDI_BV_BS_6205": Source(
        "VDI/BV-BS 6205, lifting of precast concrete: adhesion to oiled steel, varnished and rough wood",
        "",
        "from memory",
    ),
    "WMO_8": Source(
        "WMO Guide No. 8 (2008) annex 4.B, saturation vapour pressure over water: 6.112 hPa, 17.62, 243.12 C",
        "quoted at search.r-project.org/CRAN/refmans/bigleaf/html/Esat.slope.html",
    ),
}
