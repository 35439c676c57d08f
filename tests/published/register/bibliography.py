"""Sources of the register: those the science cites, and those only checked against."""

from models.sources import SOURCES, Source

CHECKED_AGAINST: dict[str, Source] = {
    "BAG_LABELS": Source(
        "Labels of bagged concrete: yield of a bag, bags to a cubic yard",
        "constructionwork.com bricks-and-blocks; mitchellelectricinc.com concrete",
    ),
    "CARSLAW_JAEGER_1959": Source(
        "Carslaw & Jaeger, Conduction of Heat in Solids: plane wall, semi-infinite solid, "
        "periodic slab",
        "exact solutions, summed to the digits shown",
        "mathematics",
    ),
    "ELEMENTARY_BEAM": Source("Bending of a beam under its own weight", "statics", "mathematics"),
    "FIRST_ORDER_SYSTEM": Source(
        "First-order system: ratio 1 / sqrt(1 + (w tau)^2), delay atan(w tau) / w",
        "any textbook of control",
        "mathematics",
    ),
    "FOURIER_LAYERS": Source(
        "Steady heat flow through resistances in series", "Fourier's law", "mathematics"
    ),
    "MENZEL_1954": Source(
        "Menzel 1954 in ACI 308R form, evaporation",
        "coefficients from memory; held by conversion against UNO_1998",
        "from memory",
    ),
    "METPY": Source(
        "MetPy 1.5, the formulas of Bolton in code, examples in its documentation",
        "unidata.github.io/MetPy/v1.5; later versions print other digits",
        "library",
    ),
    "PSYCHROLIB": Source(
        "PsychroLib 2.5, ASHRAE Fundamentals chapter 1 in code",
        "pypi.org/project/psychrolib",
        "library",
    ),
    "PVLIB": Source(
        "pvlib: NREL solar position; Haurwitz clear sky", "pypi.org/project/pvlib", "library"
    ),
    "STEFAN_BOLTZMANN": Source(
        "Stefan-Boltzmann law, constant of CODATA 2018",
        "slope of the fourth power",
        "mathematics",
    ),
    "USACE_ETL_1110_2_365": Source(
        "USACE ETL 1110-2-365 annex A, film coefficient in wind after ASHRAE 1977",
        "usacetechnicalletters.tpub.com, eqs A-2 and A-3",
    ),
    "ZAKOUTSKY_2012": Source(
        "Zakoutsky, Tydlitat & Cerny 2012, Constr. Build. Mater., hydration from 5 to 30 degC",
        "abstract, search.isc.ac/inventory/10/1634064.htm",
    ),
}

BIBLIOGRAPHY: dict[str, Source] = {**SOURCES, **CHECKED_AGAINST}
