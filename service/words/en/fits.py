"""What a maker's own strength tests say, and which tests are wanting."""

TEMPLATES = {
    "energy_of_a_mix": "datum temperature and activation energy",
    "cure_at": "{temperature_C:3g}",
    "test_age": "{age_h:days}",
    "ages_each": "{least} or more ages over a factor of {factor}",
    "ages_missing": "{count} more {count:age|ages}, as {ages:, }: {each}",
    "ages_too_few": "too few ages at {cures:, }",
    "temperatures_too_few": (
        "tests at {tested:, } only; {least} temperatures over {span_K} are the least"
    ),
    "test_temperatures": (
        "test {count} more {count:temperature|temperatures}, as {temperatures_C: and }, each at"
        " {each}"
    ),
    "test_ages": "test {tests:; }",
    "test_ages_at": "at {cure} {ages}",
    "rates_loose": "the rate constant at {cures:, } is not known to {worst:%}",
    "test_rates": (
        "test there 2 more ages while the strength is under half of its end, or once more at each"
        " of the {count} temperatures"
    ),
    "rates_do_not_rise": "the rates do not rise with temperature",
    "energy_unlike_concrete": (
        "{energy_kJ_mol:0} fitted, outside what concrete shows ({low_kJ_mol:gn} to {high_kJ_mol:gn})"
    ),
    "check_temperatures": (
        "look for results under the wrong temperature, and for cubes that dried or froze"
    ),
    "side.above": "above",
    "side.below": "below",
    "fit_early_untested": (
        "Nothing was tested before {first_h:days}: the curve says little about stripping; break one"
        " or two at 1 d."
    ),
    "fit_carried_on": "The 28-day strength is carried on from {last_h:days}.",
    "fit_odd_result": (
        "{measured_MPa} at {age_h:days} lies {apart_MPa:1} {side} the curve and was given little"
        " weight: look it up."
    ),
    "fit_ended": (
        "At {cure} the strength ended {apart_MPa:1} {side} the curve: the hotter the first days,"
        " the lower the end."
    ),
    "fit_left_out": "{cure} was left out of the energy: {missing}.",
    "fit_energy_worse": (
        "The activation energy is known to {error_kJ_mol:1} only, worse than the class"
        " ({class_kJ_mol:gn}): the mix keeps the class's."
    ),
    "fit_datum_outside": (
        "A datum of {datum_C:1} is outside {low_C:gn} to {high_C} and is left out."
    ),
    "fit_energy": (
        "Activation energy {energy_kJ_mol:1}, standard error {energy_error_kJ_mol:1n} (Q"
        " {quotient_K:0n} K); datum temperature {datum_C:1}, standard error {datum_error_K:1}; from"
        " {count} temperatures."
    ),
    "fit_no_energy": (
        "Not fitted: {unknown}. The class's {class_kJ_mol} makes the ages equivalent."
    ),
    "fit_error": "{energy_kJ_mol:1} with a standard error of {energy_error_kJ_mol:1n}",
    "fit_error_worse": "fitted {fitted}: the class knows better than {class_kJ_mol:gn}",
    "fit_of_the_room": "of the room: cube at {cube_C}",
    "fit_curve": "Strength curve, hours at {age_C}",
    "fit_form": "{form}: RMSE {rmse_MPa:2}",
    "fit_hyperbolic": "Hyperbolic at {cure}, {count} results",
    "fit_no_curve": "no curve: {missing}",
    "fit_scatter": "{parameters:, }; RMSE {rmse_MPa:2}",
    "fit_not_in_curve": "not in the curve",
    "fit_cautions": "Cautions",
    "fit_for_a_file": "For a scenario file:",
    "fit_axis": "MPa, over age at {age_C}",
    "fit_axis_residual": "result less curve, MPa",
    "fit_axis_rate": (
        "ln of the rate constant (1/h), over 1/T: Q {quotient_K:0n} K, {energy_kJ_mol:1}"
    ),
    "fit_picture": "{count} strength results at {cures:, }, and their curve",
    "fit_picture_curve": "Curve at {age_C}: {points:, }; results scatter by {rmse_MPa:2}.",
    "fit_point": "{strength_MPa:1} at {age_d:3g}",
}
