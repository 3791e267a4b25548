"""The parts on offer: a folder of CSV files becomes frozen rows in SI."""
