"""Questions around an answer: what if, how far, which others, why not this part."""
