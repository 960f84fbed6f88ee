"""A build as a book: its story, drawings, sizes, fits, rules and index, as PDF and EPUB. It knows pages' drawings and words."""
