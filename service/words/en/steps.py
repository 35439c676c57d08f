"""The reason of a window, what a step asks for, what would help most, cautions of the steps."""

TEMPLATES = {
    "text": "{text}",
}
