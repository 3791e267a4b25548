"""Results as one HTML page: a file that needs no network and no script."""
