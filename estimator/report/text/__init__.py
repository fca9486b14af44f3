"""Figures and facts as people read them."""
