"""Formulas with a page number: numbers in, numbers out, no files and no drawing."""
