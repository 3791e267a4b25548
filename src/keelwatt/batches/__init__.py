"""Many outings chosen for at once, on several workers."""
