"""The mechanism, drawn to scale from the same geometry as the model: standing still, and as data for a page to move."""

from clutchwright.picture.mechanism.moving import mechanism_data
from clutchwright.picture.mechanism.still import mechanism_svg
from clutchwright.picture.mechanism.words import mechanism_caption

__all__ = ["mechanism_caption", "mechanism_data", "mechanism_svg"]
