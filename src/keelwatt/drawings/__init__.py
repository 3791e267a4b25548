"""The pictures: each module draws one family of them."""
