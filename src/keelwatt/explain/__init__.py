"""Why this kit, why none, and how far from another: exact readings of the ledger of all kits."""
