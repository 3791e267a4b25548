"""Users' files in, problems out: catalog, outing, log and the starter folder. Knows no physics."""
