"""The room in a box: what its contents ask for by the code, the boxes that would do, and the joints made in it."""

from splicewright.box.answer import fill_box

__all__ = ["fill_box"]
