"""One question in, one answer out: the rules and catalogues in use, and the answers kept from them."""

from splicewright.answering.chooser import Answer, Chooser
from splicewright.answering.process_choosers import choose, chooser_here, chooser_of, shipped_chooser

__all__ = ["Answer", "Chooser", "choose", "chooser_here", "chooser_of", "shipped_chooser"]
