"""A finish of several products: what each coat is of, waits for and leaves behind."""

TEMPLATES = {
    "finish": "{products:, then }",
    "coat_product": "{chemistry}",
    "coat_product_wiped": "{chemistry}: leave it wet for {dwell_min:g}, then wipe off what is left",
    "coat_product_rinsed": "{chemistry}: leave it on for {dwell_min:g}, neutralise it, rinse until the face shows the pH of the water",
    "last_product": "the product under it, {after_h:0} after its last coat, comes last{comes}",
    "last_product_rinsed": "the acid under it, rinsed to within {most_pH:g} of the pH of the water and dry for {dry_h:g}, comes last{comes}",
    "product_under": "The product under it: {after_h:0} from its last coat.",
    "product_under_rinsed": "The acid under it: rinsed until the wet face is within {most_pH:g} pH of the fresh water, then dry for {dry_h:g}.",
    "product_waits": "{chemistry} has no hour before coat {coat:0} has one.",
    "chemistry.stain": "stain",
    "chemistry.acid-stain": "acid stain",
    "chemistry.polish": "polish",
    "doing_product": "{chemistry}, coat {number:0}",
}
